"""The interactive page of the contract: static files of Swagger UI (Apache-2.0, see LICENSE)."""
