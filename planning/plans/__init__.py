"""A plan between what was typed and what was computed: inputs, answer, sentences, page."""
