"""The licence of everything that the kit brings when it is installed.

    uv run python tests/licences.py

Read from what the installed packages say of themselves, over all that the run-time dependencies
need in turn. Exits with 1 where a package tells no licence or one that was not looked at.
"""

from __future__ import annotations

import re
import sys
from dataclasses import dataclass
from importlib.metadata import Distribution, distribution

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

KIT = "casework-kit"
#: Licences that ask for no more than that their notice is kept.
PERMISSIVE = re.compile(
    r"0BSD|Apache|BSD|CC0|HPND|ISC|MIT|MIT-0|MIT-CMU|PSF|Python Software Foundation|Unlicense|Zlib"
)
PARTS = re.compile(r" AND | OR | and ")
#: Licences that ask to pass on the source of what was changed, and more.
COPYLEFT = re.compile(r"A?L?GPL|General Public|MPL|Mozilla|EPL|Eclipse|EUPL|CDDL|SSPL")
#: Those among the dependencies, and what that means.
LOOKED_AT = {
    "casadi": "LGPL-3.0 or later; a solver that cadquery wants, and the kit does not call: "
    "used unchanged, whoever ships it passes its licence on",
    "certifi": "MPL-2.0, file by file: a list of certificates, unchanged",
    "fqdn": "MPL-2.0, file by file: unchanged, behind JupyterLab",
    "orjson": "MPL-2.0 in part, file by file: unchanged, behind the 3D view",
}
#: What the wheels of some packages carry besides, which their own line of licence does not say.
INSIDE = {
    "cadquery-ocp": "holds Open CASCADE Technology, LGPL-2.1 with an exception (from memory)",
    "nlopt": "holds routines under the LGPL (from memory); cadquery wants it, the kit does not",
    "numpy": "holds the run-time libraries of GCC, GPL-3.0 with an exception for such use",
    "scipy": "holds the run-time libraries of GCC, GPL-3.0 with an exception for such use",
}


@dataclass(frozen=True, slots=True)
class Licensed:
    """A package with its licence as it tells it; empty where it tells none."""

    name: str
    version: str
    licence: str

    @property
    def copyleft(self) -> bool:
        """Whether any part of it asks to pass on source."""
        return bool(COPYLEFT.search(self.licence))

    @property
    def known(self) -> bool:
        """Whether it is permissive, or one that was looked at."""
        if self.copyleft:
            return self.name in LOOKED_AT
        return all(PERMISSIVE.match(part.strip("() ")) for part in PARTS.split(self.licence))


def licence(of: Distribution) -> str:
    """What a package tells: an SPDX expression, else its classifiers, else its own words."""
    told = of.metadata.get("License-Expression")
    if told:
        return str(told)
    kinds = [c for c in of.metadata.get_all("Classifier") or () if c.startswith("License ::")]
    named = [kind.rpartition(" :: ")[2] for kind in kinds]
    words = " and ".join(name for name in named if name != "OSI Approved")
    if words:
        return words
    first = (of.metadata.get("License") or "").strip().partition("\n")[0]
    return "" if first == "UNKNOWN" else str(first)


def needed(name: str = KIT) -> list[Licensed]:
    """Every package that is installed with the kit on this system, by name, the kit left out."""
    found: dict[str, Distribution] = {}
    seen: set[tuple[str, str]] = set()
    waiting = [(canonicalize_name(name), "")]
    while waiting:
        one = waiting.pop()
        if one in seen:
            continue
        seen.add(one)
        key, extra = one
        found[key] = distribution(key)
        for line in found[key].requires or ():
            wanted = Requirement(line)
            if wanted.marker is None or wanted.marker.evaluate({"extra": extra}):
                other = canonicalize_name(wanted.name)
                waiting += [(other, asked) for asked in ("", *sorted(wanted.extras))]
    del found[canonicalize_name(name)]
    return [Licensed(key, found[key].version, licence(found[key])) for key in sorted(found)]


if __name__ == "__main__":
    packages = needed()
    for package in packages:
        print(f"{package.name:28}{package.version:16}{package.licence or 'NONE TOLD'}")
    print(f"\n{len(packages)} packages. Copyleft among them:")
    for package in packages:
        if package.copyleft:
            print(f"  {package.name}: {LOOKED_AT.get(package.name, 'NOT LOOKED AT')}")
    print(
        "Carried inside a wheel:", *(f"  {key}: {what}" for key, what in INSIDE.items()), sep="\n"
    )
    sys.exit(not all(package.known for package in packages))
