"""Work on a store in a process of its own, killed after a while."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

# Each kill is a process; the long run of 280 is `make kill`.
KILL_COUNT = int(os.environ.get("LUBBERLINE_KILLS", "3"))
WORK = """
import sys
from pathlib import Path
from lubberline.store import backup_store, import_flights, open_store, restore_store
here = Path(sys.argv[2])
print("ready", flush=True)
if sys.argv[1] == "import":
    with open_store(here / "a.db") as store, store.writing() as session:
        import_flights(session, here / "plain")
elif sys.argv[1] == "backup":
    backup_store(here / "a.db", here / "b.db")
elif sys.argv[1] == "migrate":
    open_store(here / "a.db").close()
else:
    restore_store(here / "old.db", here / "a.db")
"""


def killed_after(work: str, folder: Path, wait_s: float) -> None:
    process = subprocess.Popen(
        [sys.executable, "-c", WORK, work, str(folder)], stdout=subprocess.PIPE
    )
    with process:
        assert process.stdout is not None
        process.stdout.readline()
        time.sleep(wait_s)
        process.send_signal(signal.SIGKILL)
