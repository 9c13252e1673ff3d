// Turning programs: blocks of words, notes and macro statements (word address format of RS-274-D / ISO 6983-1).
//
// A parse holds no ERROR node, whatever the text: every token may stand alone as `unknown`, everything that can
// be begun may end early (brackets, operators, statements), and a line end ends all of it. So one broken block
// never spoils the next, and a re-parse gives what a fresh parse gives. `prec.right` on a rule that may end
// early means: go on while the next token fits.
//
// A word is one token: that is 1.5 times as fast as letter and number apart.

const BLANK = '[ \\t]*';
const NUMBER = `[0-9.](${BLANK}[0-9.])*`;

// Letter, sign and number with blanks anywhere between.
const word = letters => new RegExp(`[${letters}]${BLANK}([+\\-]${BLANK})?${NUMBER}`);

// The names in any case.
const any_case = (...names) =>
  new RegExp(names.map(name => [...name].map(c => `[${c}${c.toLowerCase()}]`).join('')).join('|'));

const block_of = ($, first) =>
  prec.right(seq(first, repeat($._item), optional($.end_of_block), optional($._line_end)));

const LEVEL = { early_end: -1, compare: 1, add: 2, multiply: 3, sign: 4 };

module.exports = grammar({
  name: 'turning',

  // NUL and DEL are the blank and the rubbed-out row of punched tape; U+FEFF is a byte-order mark.
  extras: _ => [/[ \t\v\f\x00\x7f\uFEFF]/],

  inline: $ => [$._value, $._expression],

  rules: {
    source_file: $ => repeat(choice($._lines, $.program, alias($._marked_block, $.block))),

    _lines: $ => choice($._line_end, $.block, $.sequence),
    _line_end: _ => /\r?\n|\r/,

    // From an O number to the next one or to a tape mark.
    program: $ => prec.right(seq(alias($._titled_block, $.block), repeat($._lines))),

    // From an N number to the next one.
    sequence: $ => prec.right(seq(
      alias($._numbered_block, $.block),
      repeat(choice($._line_end, $.block)),
    )),

    // What stands on one line, with its line end; a blank line is no block.
    block: $ => choice(
      block_of($, $._plain_item),
      prec.right(seq($.end_of_block, optional($._line_end))),
    ),
    _titled_block: $ => block_of($, $.program_number),
    _numbered_block: $ => block_of($, $.sequence_number),
    _marked_block: $ => block_of($, $.tape_mark),

    _item: $ => choice($._plain_item, $.program_number, $.sequence_number, $.tape_mark),
    _plain_item: $ => choice(
      $.word,
      $.preparatory,
      $.miscellaneous,
      $.tool,
      $.computed_word,
      $.bare_letter,
      $.comma_word,
      $.note,
      $.unclosed_note,
      $.block_delete,
      $.assignment,
      $.if_goto,
      $.if_then,
      $.while_do,
      $.do_only,
      $.end_do,
      $.go_to,
      $.unknown,
    ),

    program_number: _ => token(word('Oo')),
    sequence_number: _ => token(word('Nn')),
    preparatory: _ => token(word('Gg')),
    miscellaneous: _ => token(word('Mm')),
    tool: _ => token(word('Tt')),
    word: _ => token(word('A-FH-LP-SU-Za-fh-lp-su-z')),

    // X#101, X-[#1+2.]
    computed_word: $ => seq($.letter, optional($.sign), $._value),
    bare_letter: $ => prec.right(LEVEL.early_end, seq($.letter, optional($.sign))),
    letter: _ => /[A-Za-z]/,
    sign: _ => choice('+', '-'),

    // Chamfer, corner or angle: ,C1. ,R2. ,A30.
    comma_word: $ => prec.right(seq(',', optional(choice(
      $.word,
      $.preparatory,
      $.miscellaneous,
      $.sequence_number,
      $.tool,
      $.program_number,
      $.computed_word,
      $.bare_letter,
    )))),

    note: _ => /\([^)\r\n]*\)/,
    unclosed_note: _ => /\([^)\r\n]*/,
    tape_mark: _ => '%',
    block_delete: $ => prec.right(seq('/', optional($.number))),

    // The rest of the line is no part of the block.
    end_of_block: $ => prec.right(seq(';', optional($.after_end))),
    after_end: _ => token(prec(1, /[^ \t\v\f\r\n\x00\x7f\uFEFF][^\r\n]*/)),

    // Statements
    assignment: $ => prec.right(seq(
      field('variable', $._variable), '=', optional(field('value', $._expression)))),
    if_goto: $ => prec.right(seq(
      $.if, optional(field('condition', $.bracket)),
      optional(seq($.goto, optional(field('label', choice($.number, $._value))))))),
    if_then: $ => prec.right(seq(
      $.if, optional(field('condition', $.bracket)),
      $.then, optional(field('then', choice($.assignment, $._variable))))),
    while_do: $ => prec.right(seq(
      $.while, optional(field('condition', $.bracket)),
      optional(seq($.do, optional(field('loop', $.number)))))),
    do_only: $ => prec.right(seq($.do, optional(field('loop', $.number)))),
    end_do: $ => prec.right(seq($.end, optional(field('loop', $.number)))),
    go_to: $ => prec.right(seq($.goto, optional(field('label', choice($.number, $._value))))),

    if: _ => any_case('IF'),
    goto: _ => any_case('GOTO'),
    then: _ => any_case('THEN'),
    while: _ => any_case('WHILE'),
    do: _ => any_case('DO'),
    end: _ => any_case('END'),

    // Expressions
    _value: $ => choice($._variable, $.bracket, $.call, $.arc_tangent),
    _expression: $ => choice($.number, $._value, $.signed, $.binary),

    number: _ => token(new RegExp(NUMBER)),

    // #100, #[#1+2], ##1, #<name>, #name
    _variable: $ => choice($.variable, $.named_variable, $.computed_variable),
    variable: _ => token(new RegExp(`#${BLANK}[0-9](${BLANK}[0-9])*`)),
    named_variable: _ => /#([A-Za-z_][A-Za-z0-9_]*|<[^>\r\n]*>)/,
    computed_variable: $ => prec.right(LEVEL.early_end, seq('#', optional(choice($._variable, $.bracket)))),

    bracket: $ => prec.right(LEVEL.early_end, seq(
      '[',
      optional($._expression),
      repeat($._next_argument),
      optional(']'),
    )),

    _next_argument: $ => prec.right(seq(',', optional($._expression))),

    signed: $ => choice(
      prec.left(LEVEL.sign, seq(field('operator', $.sign), $._expression)),
      prec.right(LEVEL.sign, field('operator', $.sign)),
    ),

    binary: $ => choice(...[
      [LEVEL.compare, $.comparison],
      [LEVEL.add, $.sign],
      [LEVEL.add, $.disjunction],
      [LEVEL.multiply, $.factor],
      [LEVEL.multiply, '/'],
    ].flatMap(([level, operator]) => [
      prec.left(level, seq(
        field('left', $._expression), field('operator', operator), field('right', $._expression))),
      prec.right(level, seq(
        field('left', $._expression), field('operator', operator))),
    ])),
    comparison: _ => any_case('EQ', 'NE', 'GT', 'GE', 'LT', 'LE'),
    disjunction: _ => any_case('OR', 'XOR'),
    factor: _ => choice('*', any_case('MOD', 'AND')),

    // A function's argument stands in brackets.
    call: $ => prec.right(LEVEL.early_end, seq(field('function', $.function), optional($.bracket))),
    function: _ => any_case('SIN', 'COS', 'TAN', 'ASIN', 'ACOS', 'SQRT', 'SQR', 'ABS', 'ROUND', 'FIX', 'FUP',
      'LN', 'EXP', 'BIN', 'BCD'),

    // ATAN[a], ATAN[a,b], ATAN[a]/[b]: a slash and a bracket behind the first are never a division.
    arc_tangent: $ => prec.right(LEVEL.early_end, seq(
      alias(any_case('ATAN'), $.function),
      optional(seq($.bracket, optional(seq(
        alias(token(new RegExp(`/${BLANK}\\[`)), '/['), optional($._expression), optional(']'),
      )))),
    )),

    // Whatever fits nowhere: a token that cannot begin or go on with anything, or characters without meaning.
    unknown: $ => prec(LEVEL.early_end, choice(
      $.number,
      $._value,
      $.sign,
      $.factor,
      $.disjunction,
      $.comparison,
      $.then,
      '=',
      ']',
      $._no_meaning,
    )),
    _no_meaning: _ => /[^A-Za-z0-9.%\/;(,#\[\]=+\-* \t\v\f\r\n\x00\x7f\uFEFF]+/,
  },
});
