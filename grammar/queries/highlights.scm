; Later patterns win where an editor lets the last match win; none here overlap but the bare captures.

(note) @comment
(unclosed_note) @comment
(after_end) @comment

(program_number) @function
(sequence_number) @label
(tool) @constant
(preparatory) @keyword
(miscellaneous) @function.builtin
(tape_mark) @punctuation.special
(block_delete) @punctuation.special
(end_of_block ";" @punctuation.delimiter)

(word) @property
(letter) @property
(comma_word "," @punctuation.delimiter)

[
  (if)
  (then)
  (goto)
  (while)
  (do)
  (end)
] @keyword

(function) @function.builtin
(variable) @variable
(named_variable) @variable
(computed_variable "#" @variable)
(number) @number

[
  (sign)
  (comparison)
  (disjunction)
  (factor)
  "="
] @operator
(binary "/" @operator)

[
  "["
  "]"
] @punctuation.bracket

(unknown) @error
(bare_letter) @error
