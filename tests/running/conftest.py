"""A local server of the S3 interface, and the shop set to it."""

from collections.abc import Iterator
from typing import Any

import boto3
import pytest
from moto.server import ThreadedMotoServer

from tailorshop import env

BUCKET = "fitting-room"


@pytest.fixture(scope="session")
def endpoint() -> Iterator[str]:
    server = ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
    server.start()
    host, port = server.get_host_and_port()
    yield f"http://{host}:{port}"
    server.stop()


@pytest.fixture
def store(endpoint: str) -> dict[str, str]:
    """The environment of a shop whose photographs lie in the bucket."""
    said = {"BUCKET": BUCKET, "ENDPOINT": endpoint, "KEY": "k", "SECRET": "s", "FOLDER": "one"}
    return {
        f"TAILORSHOP_S3_{name}": value for name, value in {**said, "REGION": "us-east-1"}.items()
    }


@pytest.fixture
def empty_bucket(endpoint: str) -> Iterator[Any]:
    """The bucket as its owner sees it."""
    signed = {"aws_access_key_id": "k", "aws_secret_access_key": "s", "region_name": "us-east-1"}
    bucket = boto3.resource("s3", endpoint_url=endpoint, **signed).Bucket(BUCKET)
    bucket.create()
    yield bucket
    bucket.objects.delete()
    bucket.delete()


@pytest.fixture
def bucket(
    empty_bucket: Any, store: dict[str, str], monkeypatch: pytest.MonkeyPatch, settings: Any
) -> Any:
    """The bucket, and the shop of this process set to it."""
    for name, value in store.items():
        monkeypatch.setenv(name, value)
    settings.STORAGES = {**settings.STORAGES, "default": env.photograph_store()}
    return empty_bucket
