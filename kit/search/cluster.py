"""A search on the machines of a cluster: Dask, through its backend for joblib."""

from collections.abc import Iterator
from contextlib import contextmanager

from kit.errors import KitError


@contextmanager
def on_cluster(address: str) -> Iterator[None]:
    """Within it, a search without a number of workers is done by this Dask cluster.

    `address` is that of its scheduler, such as tcp://192.0.2.7:8786. Its workers want the same
    release of the kit. Raises KitError where Dask is not installed, or nothing answers there.
    """
    try:
        from distributed import Client
    except ImportError:
        raise KitError(
            "Dask is not installed, and a cluster wants it; install casework-kit[cluster]."
        ) from None
    from joblib import parallel_config

    try:
        client = Client(address)  # type: ignore[no-untyped-call]
    except (OSError, ValueError) as error:
        raise KitError(
            f"No Dask scheduler answers at {address}: {error}; start one there, or leave the "
            "cluster out."
        ) from None
    with client, parallel_config(backend="dask"):
        yield
