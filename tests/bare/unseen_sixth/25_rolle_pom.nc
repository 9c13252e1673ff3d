%
o2525 (rolle pom d60)
n1 t0101
g97 g98 s1600 m3
g0 x34. z0. m8
g1 x-0.4 f250
g0 x33. z2.
g90 x31.5 z-44. f300
x30.2
g0 x28. z1.
g1 x30. z-1. f160
z-44.
x33.
g0 x100. z100.
n2 t0202 (bohrer 12)
g97 s1400 m3
g0 x0. z3. m8
g83 z-48. q8000 f200
g80
g0 x100. z100.
n3 t0303 (lagersitz 26)
g97 s1600 m3
g0 x5.5 z2. m8
g90 x7.5 z-7.9 f180
x9.5
x11.5
x12.8
g0 x14.5 z0.5
g1 x12.99 z-1.01 f120
z-8.
x5.5
g0 z5.
x100. z100.
n4 t0404 (laufrille r8)
g97 s1200 m3
g0 x33. z-20. m8
g1 x27. f60
g4 x0.5
g0 x33.
x100. z100.
n5 t0505 (abstechen 4)
g97 s1200 m3
g0 x33. z-44. m8
g1 x5.8 f80
g0 x33. m9
x100. z100.
m30
%
