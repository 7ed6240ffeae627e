// Bundles the workbench's modules into the Python package. `npm run build` checks the types first.
import { rmSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const built = here("../src/handbarrow/web/static/built");

rmSync(built, { recursive: true, force: true });
await build({
  entryPoints: { main: here("src/main.ts"), viewer: here("src/viewer/viewer.css") },
  outdir: built,
  bundle: true,
  splitting: true, // the viewer and three.js are fetched only by pages that show the product
  chunkNames: "[name]-[hash]",
  format: "esm",
  target: "es2022",
  minify: true,
  legalComments: "linked",
  logLevel: "warning",
});
