%
o77 (knob blank, 6061 bar 1.5 dia)
(x on dia, bar 2 in. out, .02 to face off)
(t1 80 deg, t3 spot drill 90 deg, t4 5/16 drill, t5 3/8-16 tap)
(t6 part tool .125, touch off chuck side corner)
g40 g80 g99
g50 s3000
(turn)
t101
g96 s800 m3
g0 x1.6 z0 m8
g1 x-.0625 f.008
g0 z.1
x1.39
g1 z-1.3 f.012
u.1
g0 z.1
x1.45
g90 x1.2 z-.295 f.012
x1.
x.8
x.77
g0 x.59 z.03
g1 x.75 z-.05 f.006
z-.3
x1.315
x1.375 z-.33
z-1.3
u.2
g0 x2. z1. m9
g28 u0.
g28 w0.
m1
(spot)
t303
g97 s1500 m3
g0 x0 z.2 m8
g1 z-.2 f.004
g4 u.2
g0 z.5
m9
g28 u0.
g28 w0.
m1
(drill 5/16)
t404
g97 s1800 m3
g0 x0 z.1 m8
g83 z-1.3 q2500 f.006
g80
g0 z.5 m9
g28 u0.
g28 w0.
m1
(tap 3/8-16, floating holder)
t505
g97 s400 m3
g0 x0 z.4 m8
g84 z-.75 f.0625
g80
g0 z.5 m9
g28 u0.
g28 w0.
m1
(part, 1.000 long)
t606
g97 s1200 m3
g0 x1.6 z-1.125 m8
g1 x.25 f.004
g0 x1.6 m9
g28 u0.
g28 w0.
m5
m30
%
