; Variables belong to the program that sets them; labels are its N numbers.
(source_file) @local.scope
(program) @local.scope

(assignment variable: (variable) @local.definition)
(assignment variable: (named_variable) @local.definition)
(block (sequence_number) @local.definition)

(variable) @local.reference
(named_variable) @local.reference
