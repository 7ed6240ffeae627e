"""The workbench: design, check and print in a browser, on this computer, without the internet."""
