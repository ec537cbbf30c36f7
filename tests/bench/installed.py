"""The program as a user has it: a plain install, compiled, in a place of its own that knows nothing of this checkout."""

import subprocess
import sys
import sysconfig
import venv
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[2]


def installed(folder: Path) -> Path:
    """The folder of commands of a new environment that holds this checkout; the libraries it borrows from the running one."""
    venv.create(folder, symlinks=True)
    commands = folder / "bin"
    borrowed = folder / "lib" / f"python{sys.version_info.major}.{sys.version_info.minor}" / "site-packages" / "libraries.pth"
    borrowed.write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    install = [sys.executable, "-m", "pip", "--python", str(commands / "python"), "install", "-q", "--no-deps", str(CHECKOUT)]
    subprocess.run(install, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    return commands
