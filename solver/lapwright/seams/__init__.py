"""Where long runs are split: the rules for seams, and the placing of seams by them."""
