"""The pages. A view is short: words in, one use, a page out; each module tells its `ADDRESSES`."""
