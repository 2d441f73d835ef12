"""The crew's pages: served in the truck, opened on phones."""
