%
o0707 (gland nut 1.75-12, brass)
g20 g18 g40 g97 g99
g30 u0 w0

t0101 (face, turn)
g50 s2500
g96 s600 m3
g0 x2.35 z0 m8
g1 x-.06 f.007
g0 x2.35 z.1
x2.19
g1 z-1.17 f.008
x2.35
g30 u0 w0 m9
t0100

t0202 (knurl)
g97 s200 m3
g0 x2.3 z.15 m8
x2.155
g1 z-.94 f.03
g4 u1.
x2.3
g0 z.15
g30 u0 w0 m9
t0200

t0303 (edge)
g50 s2500
g96 s600 m3
g0 x1.95 z.1 m8
g1 x2.25 z-.05 f.006
g0 x2.4
g30 u0 w0 m9
t0300

t0404 (drill 1 1/8)
g97 s700 m3
g0 x0 z.2 m8
g74 r.05
g74 z-1.55 q3500 f.009
g0 z.2
g30 u0 w0 m9
t0400
m1

t0606 (bore)
g50 s2500
g96 s500 m3
g0 x1.1 z.1 m8
g71 u.05 r.02
g71 p1 q2 u-.02 w.003 f.009
n1 g0 x1.987
g1 x1.667 z-.06 f.005
z-.75
x1.31
x1.25 z-.78
z-1.17
n2 x1.1
g70 p1 q2
g0 z.2
g30 u0 w0 m9
t0600
m1

t0808 (relief .14, tool .094)
g97 s800 m3
g0 x1.6 z.15 m8
z-.75
g1 x1.79 f.003
g0 x1.6
z-.704
g1 x1.79
z-.75
g0 x1.6
z.15
g30 u0 w0 m9
t0800
m1

t1010 (thread)
g97 s6000 m3
g0 x1.6 z.25 m8
g76 p020060 q20 r.002
g76 x1.755 z-.68 p440 q90 f.08333
g0 z.25
g30 u0 w0 m9
t1000
m1

t1212 (off, .125)
g97 s700 m3
g0 x2.4 z-1.125 m8
g1 x2.04 f.004
x2.27 f.02
z-1.025
x2.07 z-1.125 f.004
x1.2
g0 x2.4
g30 u0 w0 m9
t1200
m5
m30
%
