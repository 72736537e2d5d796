"""Tests of heatslot; a package so that the folders inside never hide the real ones."""
