from tests.erasure.conftest import erasure_list, known

__all__ = ["erasure_list", "known"]
