"""A workbench for tests: a folder with a project of the handcart, and a browser that is known to it."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from handbarrow.web.app import create_app
from handbarrow.web.pairing import Share

EXAMPLES = Path(__file__).parents[1] / "examples"
HERE = "http://127.0.0.1:8420"
HOST = "127.0.0.1:8420"


def project_folder(root: Path, name: str = "cart", design: str = "handcart.yaml") -> Path:
    """Make a project of an example."""
    folder = root / name
    folder.mkdir(parents=True)
    shutil.copy(EXAMPLES / design, folder / "design.yaml")
    shutil.copy(EXAMPLES / "ridge-workshop.yaml", folder / "workshop.yaml")
    return folder


class Desk:
    """A person at a browser."""

    def __init__(self, root: Path, *, share: Share | None = None, base: str = HERE) -> None:
        self.root = root
        self.app = create_app(root, share=share)
        self.client = TestClient(self.app, base_url=base)
        self.token = ""

    def __enter__(self) -> Desk:
        self.client.__enter__()
        found = re.search(r'name="token" content="(\w+)"', self.client.get("/nowhere").text)
        self.token = found[1] if found else ""
        return self

    def __exit__(self, *fault: object) -> None:
        self.client.__exit__(None, None, None)

    @property
    def headers(self) -> dict[str, str]:
        """What the scripts of a page send."""
        return {"x-handbarrow-token": self.token, "origin": HERE}

    def get(self, path: str, **more: Any) -> Any:
        return self.client.get(path, **more)

    def post(self, path: str, content: Any) -> Any:
        return self.client.post(path, json=content, headers=self.headers)

    def form(self, path: str, **fields: object) -> Any:
        data = {"token": self.token, **{name: str(value) for name, value in fields.items()}}
        return self.client.post(path, data=data, headers={"origin": HERE}, follow_redirects=False)

    def state(self, name: str = "cart") -> dict[str, Any]:
        answer = self.get(f"/api/p/{name}/state")
        assert answer.status_code == 200, answer.text
        return dict(answer.json())

    def set(self, base: int, size: str, text: str, name: str = "cart") -> Any:
        return self.post(f"/api/p/{name}/size", {"base": base, "name": size, "text": text, "client": "tab"})


def size_of(state: dict[str, Any], name: str) -> dict[str, Any]:
    return next(size for size in state["sizes"] if size["name"] == name)
