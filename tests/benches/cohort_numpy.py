"""The table of counts that `group` needs, in numpy: people by number right, question and option.

Takes the folder that the bench wrote; prints seconds and the peak of this process in MiB.
"""
import pathlib
import sys
import time

import numpy as np

begun = time.perf_counter()
folder = pathlib.Path(sys.argv[1])
questions, options = 25, 6
with open(folder / "answers.csv", encoding="utf-8") as lines:
    cells = np.loadtxt(lines, delimiter=",", skiprows=1, usecols=range(1, questions + 1), dtype="S1")
letters = np.zeros(256, dtype=np.intp)
letters[np.frombuffer(b"ABCDE", dtype=np.uint8)] = np.arange(1, options)
codes = letters[cells.view(np.uint8).reshape(cells.shape)]
key = np.arange(questions) % (options - 1) + 1
right = codes == key
total = (right * np.where(np.arange(questions) < 15, 5, 6)).sum(axis=1)
total -= ((codes != 0) & ~right)[:, 15:].sum(axis=1)
total -= total.min()
place = (total[:, None] * questions + np.arange(questions)) * options + codes
counts = np.bincount(place.ravel(), minlength=(total.max() + 1) * questions * options)
assert counts.sum() == cells.size
seconds = time.perf_counter() - begun
status = pathlib.Path("/proc/self/status").read_text(encoding="ascii")
peak = next(line for line in status.splitlines() if line.startswith("VmHWM:")).split()[1]
print(seconds, int(peak) / 1024)
