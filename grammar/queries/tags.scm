; Programs by their O number, sequences by their N number, each with the note behind it.
(program
  (block
    .
    (program_number) @name
    (note)? @doc)) @definition.module

(sequence
  (block
    .
    (sequence_number) @name
    (note)? @doc)) @definition.section

(block
  (miscellaneous) @kind
  (word) @name
  (#match? @kind "^[Mm] *0*98$")
  (#match? @name "^[Pp]")) @reference.call

(block
  (preparatory) @kind
  (word) @name
  (#match? @kind "^[Gg] *6[56]$")
  (#match? @name "^[Pp]")) @reference.call
