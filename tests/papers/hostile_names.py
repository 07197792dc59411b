"""A name that tries to break out of every format."""

HOSTILE = "</title><script>alert('x')</script> \"&amp; \u202egnirts\u202c ]]> 0\nEOF " + "x" * 500
