"""The optician's desk: what stays in the shop, round the pages that go out."""
