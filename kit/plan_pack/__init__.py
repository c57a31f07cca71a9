"""The plan pack: everything a maker takes to the shop, in one folder.

write_pack    the folder: written aside, and swapped in whole (`folder`, `files`);
              it tells its `progress`, and stops when asked
plan.pdf      the book of plans: `pages` says what is in it, `drawings` holds its drawings,
              `book` is it as data, `layout` places plates and pictures, `compile` prints it
"""

from kit.plan_pack.book import Draft, Released, Standing
from kit.plan_pack.files import MANIFEST
from kit.plan_pack.folder import Pack, write_pack
from kit.plan_pack.progress import Progress, Step

__all__ = [
    "MANIFEST",
    "Draft",
    "Pack",
    "Progress",
    "Released",
    "Standing",
    "Step",
    "write_pack",
]
