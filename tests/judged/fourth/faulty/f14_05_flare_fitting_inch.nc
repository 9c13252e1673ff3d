%
o0505(flare fitting 9/16-18 end one)
(hex bar .6875 12l14, 1.6 out of the collet)
g20g40g97g99
g28u0w0
t0101(rough 1/32)
g97s2200m3
g0x.85z.1m8
g1z0f.02
x-.06f.006
g0z.05
x.85z.1
g71u.06r.02
g71p10q20u.02w.003f.008
n10g0g42x.37
g1z0f.004
x.49z-.0796
x.56z-.1146
z-.59
x.635
n20x.82z-.6434
g40
g0x2.z2.m9
g28u0w0
m1
t0202(finish 1/64)
g97s2600m3
g0x.85z.1m8
g70p10q20
g40
g0x2.z2.m9
g28u0w0
m1
t0404(groove .100 set left corner)
g97s1400m3
g0x.85z.1
z-.59
m8
g1x.66f.02
x.485f.003
g4u.2
g0x.85
x2.z2.m9
g28u0w0
m1
t0606(drill .297)
g97s1600m3
g0x0z.1m8
g1z-.4f.005
g0z.1
z-.38
g1z-7.
g0z.1
z-.68
g1z-.95
g0z.1
z-.93
g1z-1.2
g0z.5m9
g28u0w0
m1
t0808(thread 60)
g97s1200m3
g0x.65z.25m8
g92x.545z-.54f.05556
x.53
x.518
x.509
x.503
x.498
x.4953
x.4943
x.4943
g0x2.z2.m9
g28u0w0
m1
t1010(part off .100 set left corner)
g97s1200m3
g0x.85z.1
z-1.04m8
g1x.27f.003
g0x.9
x2.m9
g28u0
g28w0
m5
m30
%
