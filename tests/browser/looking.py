"""What a page shows: the pixels of its 3D view, and what does not fit."""

import io
import time
from collections import Counter

import numpy as np
from PIL import Image

TIMEOUT_S = 40
#: Sum of the differences in red, green and blue from which a pixel counts as another colour.
ANOTHER = 24
#: The console takes a sixth of the view; buttons and lists over it take a fiftieth.
LEAST_DRAWN = 0.08
#: What the tree of boards leaves free of the view, pixels from the left.
TREE_PX = 260


def look(page):
    """The pixels of the 3D view right of its tree, (height, width, 3)."""
    canvas = page.locator(".jp-OutputArea canvas")
    canvas.scroll_into_view_if_needed()
    picture = Image.open(io.BytesIO(canvas.screenshot())).convert("RGB")
    return np.asarray(picture)[:, TREE_PX:].astype(int)


def drawn(pixels):
    """The share of pixels that are not background."""
    (background, _), *_ = Counter(map(tuple, pixels.reshape(-1, 3))).most_common(1)
    return different(pixels, np.array(background))


def is_drawn(pixels):
    return drawn(pixels) > LEAST_DRAWN


def different(a, b):
    return float((abs(a - b).sum(axis=2) > ANOTHER).mean())


def looked(page, good):
    """The pixels of the 3D view once they are `good`, looked at frame by frame."""
    end = time.monotonic() + TIMEOUT_S
    while not good(pixels := look(page)):
        assert time.monotonic() < end, f"the view did not come; the page says {page.errors}"
        page.evaluate("() => new Promise(done => requestAnimationFrame(() => done(1)))")
    return pixels


def cut_off(page):
    """Outputs that reach past the width of their cell."""
    return page.evaluate(
        """() => [...document.querySelectorAll('.jp-OutputArea-output')]
                 .filter(output => output.scrollWidth > output.clientWidth + 1)
                 .map(output => output.innerText.slice(0, 80))"""
    )
