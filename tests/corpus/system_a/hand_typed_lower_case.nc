%
o0106 (roller for conveyor, pom plastic, chuck work)
(typed at the machine)

n1 (tool 1: face and turn)
	g54 g18 g97 g21 g80 g40 g99
	t0101
	g50 s2500
	g97 s1200 m3
	g0 x70. z12.
	g0 x52. z1.
	m8
	g96 s250
	g1 z0 f.2
	g1 x-1.
	g0 x52. z1.
	g90 x48.5 z-60. f.35
	g0 x44.
	g1 x48. z-1. f.15
	g1 z-60.
	g1 x52. f.5
	g97 s1200
	g0 x70. z12.
	g28 u0 w0
	m9
	m5
	m1

n2 (tool 2: drill 12 through)
	g54 g18 g97 g21 g80 g40 g99
	t0202
	g97 s1500 m3
	g0 x0 z12.
	g0 z2.
	m8
	g1 z-20. f.2
	g0 z2.
	g0 z-19.
	g1 z-40. f.2
	g0 z2.
	g0 z-39.
	g1 z-66. f.2
	g0 z12.
	g28 u0 w0
	m9
	m5
	m1

n4 (tool 4: bearing seat 26 x 8)
	g54 g18 g97 g21 g80 g40 g99
	t0404
	g50 s2500
	g97 s2000 m3
	g0 x11. z12.
	g0 z1.
	m8
	g96 s220
	g90 x16. z-7.9 f.2
	x20.
	x24.
	x25.6
	g0 x28.
	g1 x26. z-.5 f.1
	z-8.
	x11. f.3
	g97 s2000
	g0 z12.
	g28 u0 w0
	m9
	m5
	m1

n6 (tool 6: belt groove, 4 wide
;  ^^^^^^^ warning: note_unclosed
	g54 g18 g97 g21 g80 g40 g99
	t0606
	g50 s2500
	g97 s900 m3
	g0 x70. z12.
	g0 x50. z-32.
	m8
	g96 s150
	g1 x42. f.1
	g4 u.2
	g1 x49. f.5
	z-30.
	x48. f.1
	x42. z-32.
	x49. f.5
	z-34.
	x48. f.1
	x42. z-32.
	x50. f.5
	g97 s900
	g0 x70.
	g0 z12.
	g28 u0 w0
	m9
	m5
	m5
;^^ warning: program_end_missing
%
