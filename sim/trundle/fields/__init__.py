"""What springs, terrain, bogies and the rest of the builder's file share: the strict base table and its field types."""
