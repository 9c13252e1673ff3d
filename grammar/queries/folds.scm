[
  (program)
  (sequence)
] @fold
