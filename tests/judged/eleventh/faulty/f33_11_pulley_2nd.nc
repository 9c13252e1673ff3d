%
o1120 (pulley 2nd side, cast iron)
(soft jaws on d120 spigot, od meets 1st side)
(raw: hub face z3. rim face z-9. od 166 core 33)
g21 g40 g99
g28 u0 w0
t0101 (rough)
g97 s280 m3
g0 x80. z5.
g94 x30. z1.5 f.25
z.3
g0 x172.
z-5.
g94 x126. z-10.5 f.25
z-11.7
g0 x172. z-8.
g90 x163. z-33. f.3
x160.6
g0 x180. z20.
g28 u0 w0
t0202 (finish)
g50 s800
g96 s200 m3
g0 x76. z3.
z0
g1 x30. f.15
g0 z3.
x166.
z-12.
g0 x126. f.15
g0 z-10.
x157.
g1 x158. z-12.
x160. z-13.
z-33.
u4.
g0 x180. z20.
g28 u0 w0
t0404 (rough bar)
g97 s420 m3
g0 x31. z3.
g90 x35.5 z-64. f.2
x37.6
x39.5
g0 z20.
g28 u0 w0
t0606 (finish bar)
g97 s700 m3
g0 x42.012 z2.
g1 z0 f.1
x40.012 z-1.
z-64.
u-.6
g0 z20.
g28 u0 w0
m30
%
