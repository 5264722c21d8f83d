"""The law: dated numbers and switches in `params/`, rules that read them beside the facts, words for what they find."""
