# The job of 14-E-103 from the first permit to the file: everything in it is invented. The plant, the people, the numbers and the
# mistakes belong to no real site and no real person; no line here is evidence of anything. It exists so that a crew can see a whole
# job told, the good days and the bad one, and see what the record makes of it.
#
# One event a line:   time | who did it | what | fields | @label, where a later line speaks of this one
# A time is of the day above it; the zone is two hours ahead of UTC. started_at is a time of the same day. {a,b} tells the line once
# for each. A correction (corrects=@label) stands where it was typed and carries the time it is about.

day 1 2027-04-07
# Pack and isolation. All four fitters on days; nights begin on day 4.
05:20 | T. Wray-Estrada  | job.opened | shift_ends="06:00 18:00"
05:30 | T. Wray-Estrada  | step.done | step=PACK
        note="drawing OM-14-E-103-01 rev 3; joint list, gasket list and blind list read through with M. Trevanick"
06:00 | D. Wrexholme     | step.done | step=ISO reading="depressured, drained, steamed; locks 1-6"
06:05 | D. Wrexholme     | step.done | step=PERMIT paper="P-0704-1" reading="LEL 0 %, O2 20.9 %, H2S 0 ppm; valid to 18:00"
06:10 | D. Wrexholme     | step.done | step=TAGID reading="14-E-103 read aloud from shell tag, permit and drawing, with M. Trevanick"
06:20 | D. Wrexholme     | step.done | step=ZERO:shell second="M. Trevanick" reading="V2 and D1 rodded, air moves, 0 bar"
06:20 | D. Wrexholme     | step.done | step=ZERO:tube second="M. Trevanick"
        reading="V1 and D3 rodded, air moves, 0 bar; D3 ran half a minute, then dry"
06:35 | P. Duvenhage     | step.done | step=WET reading="hose charged at the front and at the rear"
06:45 | J. Karlsby       | step.done | step=LIFTPLAN:{channel-cover,channel,bundle,floating-head,shell-cover} paper="LP-103"

# Process blinds, one at a time, zero and gas read again before each. The second pair marks and photographs meanwhile.
07:05 | R. Ellingsgard   | step.done | step=GAS_BREAK reading="far end of N1 spool: LEL 0 %, O2 20.9 %, H2S 0 ppm, benzene 0.1 ppm"
07:10 | I. Belmarsh      | step.started | step=BLIND_IN:B1
08:35 | I. Belmarsh      | blind.in | blind=B1 second="D. Wrexholme"
08:40 | D. Wrexholme     | step.done | step=ZERO:{shell,tube} second="M. Trevanick" reading="vents and drains open, air moves, 0 bar"
08:42 | R. Ellingsgard   | step.done | step=GAS_BREAK reading="far end of N2 spool: LEL 0 %, H2S 0 ppm, benzene 0.2 ppm"
08:45 | I. Belmarsh      | step.started | step=BLIND_IN:B2
09:30 | P. Duvenhage     | step.done | step=MATCH:{N1,N2,N3,N4,J1,J2,J3,J5} paper="AF-103"
        note="stamped across the flanges, painted at 12, photographed"
10:05 | I. Belmarsh      | blind.in | blind=B2 second="D. Wrexholme"
10:08 | D. Wrexholme     | step.done | step=ZERO:{shell,tube} second="M. Trevanick" reading="air moves, 0 bar"
10:10 | R. Ellingsgard   | step.done | step=GAS_BREAK reading="far end of N3 spool: LEL 2 %, H2S 1 ppm, benzene 0.4 ppm; breathing air on"
10:12 | C. Rhoswen       | step.started | step=BLIND_IN:B3
10:30 | N. Quillbrook    | gasket.received | item=G1-1 gasket=G1 kind=kammprofile od="861.0 mm" id="829.0 mm" thickness="3.2 mm" ribs=2
10:31 | N. Quillbrook    | gasket.received | item=G2-1 gasket=G2 kind=kammprofile od="861.0 mm" id="829.0 mm" thickness="3.2 mm" ribs=2
10:32 | N. Quillbrook    | gasket.received | item=G3-1 gasket=G3 kind=kammprofile od="861.0 mm" id="829.0 mm" thickness="3.2 mm" ribs=0
10:33 | N. Quillbrook    | gasket.received | item=G4-1 gasket=G4 kind=kammprofile od="795.0 mm" id="771.0 mm" thickness="3.2 mm" ribs=1
10:34 | N. Quillbrook    | gasket.received | item=G5-1 gasket=G5 kind=kammprofile od="975.0 mm" id="943.0 mm" thickness="3.2 mm" ribs=0
10:40 | N. Quillbrook    | step.done | step=GKT_RCV:{G1,G2,G3,G4,G5} second="T. Wray-Estrada"
        note="flat in their boxes; spares counted, two for G4"
11:00 | N. Quillbrook    | tool.checked | tool=W1 good_until=2027-09-30 serial=HW-108
11:00 | N. Quillbrook    | tool.checked | tool=W2 good_until=2027-08-15 serial=TW-217
11:01 | N. Quillbrook    | tool.checked | tool=W3 good_until=2027-04-09 serial=TW-214
        note="two days left; for the bench before it is used"
11:02 | N. Quillbrook    | tool.checked | tool=P1 good_until=2027-10-31 serial=TP-12
11:03 | N. Quillbrook    | tool.checked | tool={GA,GB} good_until=2027-07-20
11:05 | N. Quillbrook    | tool.checked | tool=RV good_until=2027-11-12 serial=RV-44
11:10 | N. Quillbrook    | step.done | step=RV:{S1,T,S2} paper="RV-44 bench sheet"
        reading="lifts clean at every setting of the test sheets"
11:20 | C. Rhoswen       | blind.in | blind=B3 second="D. Wrexholme"
11:24 | D. Wrexholme     | step.done | step=ZERO:{shell,tube} second="M. Trevanick" reading="air moves, 0 bar"
11:26 | R. Ellingsgard   | step.done | step=GAS_BREAK reading="far end of N4 spool: LEL 0 %, H2S 0 ppm, benzene 0.2 ppm"
11:30 | C. Rhoswen       | step.started | step=BLIND_IN:B4
12:40 | C. Rhoswen       | blind.in | blind=B4 second="D. Wrexholme"
12:45 | M. Trevanick     | witness.counted | what="blinds in" count=4

# Strip, front and rear together: small bore, spools, then cover, channel, shell cover, floating head.
12:58 | D. Wrexholme     | step.done | step=ZERO:{shell,tube} second="M. Trevanick" reading="air moves, 0 bar"
13:00 | R. Ellingsgard   | step.done | step=GAS_BREAK reading="at every flange to be opened: LEL 0 %, H2S 0 ppm, benzene 0.2 ppm"
13:01 | D. Olukoya-Finch | step.done | step=WET reading="water running at all four spools"
13:02 | P. Duvenhage     | step.started | step=SB_OUT:{V1,V2,V3,V4,D1,D2,D3,TW1,TW2,PG1,PG2}
13:08 | I. Belmarsh      | step.started | step=BREAK:{N1,N2,N3,N4}
13:40 | P. Duvenhage     | step.done | step=SB_OUT:{V1,V2,V3,V4,D1,D2,D3,TW1,TW2,PG1,PG2} paper="SB-103"
        note="eleven out, tag with each piece"
14:10 | I. Belmarsh      | step.done | step=BREAK:{N1,N2,N3,N4} note="spools down, far ends blinded"
14:15 | J. Karlsby       | step.done | step=SUPPORT_OFF:channel-cover reading="davit plumb over the eye, 430 kg" entered="M. Trevanick"
14:18 | D. Wrexholme     | step.done | step=ZERO:{shell,tube} second="M. Trevanick" reading="air moves, 0 bar"
14:19 | R. Ellingsgard   | step.done | step=GAS_BREAK reading="channel cover, top and low down: LEL 0 %, H2S 0 ppm"
14:20 | D. Olukoya-Finch | step.done | step=WET reading="hose at the channel cover"
14:25 | I. Belmarsh      | step.started | step=BREAK:J1
14:58 | I. Belmarsh      | step.done | step=BREAK:J1 reading="32 studs"
15:05 | J. Karlsby       | step.done | step=SUPPORT_OFF:{channel,shell-cover} reading="hooks plumb, tag lines on; 640 and 410 kg"
        entered="M. Trevanick"
15:06 | D. Wrexholme     | step.done | step=ZERO:{shell,tube} second="M. Trevanick" reading="air moves, 0 bar"
15:07 | R. Ellingsgard   | step.done | step=GAS_BREAK reading="girth and shell cover: LEL 0 %, H2S 1 ppm"
15:08 | D. Olukoya-Finch | step.done | step=WET reading="hoses front and rear"
15:12 | I. Belmarsh      | step.started | step=BREAK:{J2,J3}
15:15 | P. Duvenhage     | step.started | step=BREAK:J5
16:05 | I. Belmarsh      | step.done | step=BREAK:{J2,J3} reading="36 studs, four collar studs among them"
16:10 | P. Duvenhage     | step.done | step=BREAK:J5 reading="36 studs; bottom nuts first, a cup of water"
16:20 | P. Duvenhage     | step.done | step=MATCH:J4 paper="AF-103" note="cover, both ring halves and tubesheet stamped and photographed"
16:25 | J. Karlsby       | step.done | step=SUPPORT_OFF:floating-head reading="hook plumb over the lug, 295 kg" entered="M. Trevanick"
16:26 | D. Wrexholme     | step.done | step=ZERO:{shell,tube} second="M. Trevanick" reading="both ends open"
16:27 | R. Ellingsgard   | step.done | step=GAS_BREAK reading="behind the floating head: LEL 0 %, H2S 2 ppm; masks on"
16:28 | D. Olukoya-Finch | step.done | step=WET reading="hose on the floating head, deposit black and wet"
16:32 | P. Duvenhage     | step.started | step=BREAK:J4
17:50 | P. Duvenhage     | step.done | step=BREAK:J4 reading="36 studs; cover down"
18:00 | M. Trevanick     | shift.changed | to="H. Achterberg" note="day crew stays until the ring halves are down"
18:50 | P. Duvenhage     | note.written |
        text="Both halves of the split ring down and tied together. Everything of this exchanger on one pallet."

day 2 2027-04-08
# Pull: peak when it breaks loose, steady afterwards.
06:05 | D. Wrexholme     | step.done | step=PERMIT paper="P-0804-1" reading="LEL 0 %, O2 20.9 %, H2S 0 ppm; valid to 18:00"
06:30 | J. Karlsby       | step.done | step=LIFTPLAN:bundle paper="LP-103" reading="ground dry, wind 4 m/s; weight wet and fouled 4740 kg"
07:50 | J. Karlsby       | step.done | step=RIG_PULL reading="extractor level and on the centre line, cradle ready, load cell at 0"
08:10 | J. Karlsby       | step.done | step=EXCL_PULL reading="both ends clear, 15 m roped; shell open at the rear"
08:11 | R. Ellingsgard   | step.done | step=GAS_BREAK reading="both ends of the shell, bundle still in: LEL 0 %, H2S 1 ppm"
08:12 | C. Rhoswen       | step.done | step=WET reading="water on the bundle as it comes"
08:15 | J. Karlsby       | step.started | step=PULL
08:22 | J. Karlsby       | bundle.force_read | way=pull position="5.8 m" force="18 kN" entered="M. Trevanick"
08:40 | J. Karlsby       | bundle.force_read | way=pull position="5.0 m" force="11.5 kN" entered="M. Trevanick"
09:05 | J. Karlsby       | bundle.force_read | way=pull position="3.8 m" force="13 kN" entered="M. Trevanick"
09:30 | J. Karlsby       | bundle.force_read | way=pull position="2.5 m" force="10 kN" entered="M. Trevanick"
10:10 | J. Karlsby       | bundle.force_read | way=pull position="1.0 m" force="8.5 kN" entered="M. Trevanick"
10:45 | J. Karlsby       | bundle.pulled | force="18 kN" entered="M. Trevanick"
10:50 | J. Karlsby       | bundle.weighed | mass="4690 kg" state="as pulled" entered="M. Trevanick"
11:00 | J. Karlsby       | note.written | text="Bundle on the truck, wet all the way to the slab."

# Jetting until the next morning; studs meanwhile.
11:50 | R. Ellingsgard   | step.done | step=ENTRY_GAS paper="E-0804-1"
        reading="O2 20.9 %, LEL 0 %, H2S 0 ppm in shell, channel and heads; standby man at the shell"
12:00 | O. Fennimarsh    | step.started | step=CLEAN
15:30 | I. Belmarsh      | step.done | step=BOLT_PREP:{J1,J2,J3,J5} reading="nuts run full by hand; nickel anti-seize, lot 7"
16:30 | P. Duvenhage     | step.done | step=BOLT_PREP:{J4,N1,N2,N3,N4}
        reading="one stud of N2 necked, renewed from the same lot; nickel anti-seize, lot 7"
18:00 | M. Trevanick     | shift.changed | to="H. Achterberg" note="jetting goes on; Achterberg keeps the lance zone"
18:05 | L. Brackendale   | step.done | step=PERMIT paper="P-0804-2" reading="jetting only; valid to 06:00"

day 3 2027-04-09
06:00 | H. Achterberg    | shift.changed | to="M. Trevanick" note="bundle outside done, last 80 bores to go"
06:10 | D. Wrexholme     | step.done | step=PERMIT paper="P-0904-1" reading="LEL 0 %, O2 20.9 %, H2S 0 ppm; valid to 18:00"
08:00 | O. Fennimarsh    | step.done | step=CLEAN paper="CS-103" reading="592 bores less three plugs, all open; lands scraped"

# Inspection. The score on the floating tubesheet is not seen: grease on the land, lamp from the side of the crane.
08:20 | R. Ellingsgard   | step.done | step=ENTRY_GAS paper="E-0904-1"
        reading="O2 20.9 %, LEL 0 %, H2S 0 ppm at three depths; standby man at the opening"
08:30 | S. Oduwale       | piece.in | space=shell what="lead lamp"
08:30 | S. Oduwale       | piece.in | space=shell what="bore gauge"
08:32 | S. Oduwale       | step.started | step=INSP_SHELL
08:35 | S. Oduwale       | step.started | step=INSP_TUBE
09:40 | S. Oduwale       | face.measured | joint=J1 face="channel cover" mark=pit depth="0.2 mm" span="2 mm" land="16 mm" clock="8"
09:45 | S. Oduwale       | step.done | step=INSP_FACE:J1 paper="FS-103" reading="one pit, 2 mm of 16; accepted"
10:20 | S. Oduwale       | step.done | step=INSP_FACE:{J2,J3,J5} paper="FS-103" reading="clean, no mark across the land"
11:30 | S. Oduwale       | step.done | step=INSP_FACE:J4 paper="FS-103" reading="no mark seen; land still greasy at the bottom"
11:50 | S. Oduwale       | step.done | step=INSP_FACE:{N1,N2,N3,N4} paper="FS-103" reading="clean"
12:30 | S. Oduwale       | bore.measured | diameter="813.4 mm" least="812.9 mm" position="3.8 m" | @bore
12:40 | S. Oduwale       | piece.out | space=shell what="bore gauge"
12:41 | S. Oduwale       | piece.out | space=shell what="lead lamp"
12:45 | S. Oduwale       | step.done | step=INSP_SHELL paper="IR-103"
        reading="a bead of weld at 3.8 m, dressed; slide track smooth; thickness above minimum"
13:10 | T. Wray-Estrada  | record.withdrawn | corrects=@bore why="the sheet is headed 14-E-104" | @back
13:30 | S. Oduwale       | step.done | step=INSP_TUBE paper="TM-103"
        reading="bores looked through, 60 by eddy current; three old plugs 2-6, 14-3, 19-9 sound; none to plug"
13:32 | S. Oduwale       | hold.signed | step=INSP_TUBE role=inspector verdict=accepted
        words="the ring test has the last word on the tube joints"
13:50 | S. Oduwale       | record.withdrawn | corrects=@back why="only the heading was wrong: the readings are of this shell"
14:30 | S. Oduwale       | step.done | step=TESTKIND second="A. Castellane" paper="TS-103"
        reading="ring test 22.4, tube test 31.3, last shell test 22.4 bar"
14:35 | R. Ellingsgard   | step.done | step=ENTRY_GAS paper="E-0904-1" reading="O2 20.9 %, LEL 0 %, H2S 0 ppm; list read at the tubes"
14:40 | S. Oduwale       | step.done | step={PIERCE,PLUG,REPAIRDOC} reading="no tube on the signed list"
16:00 | C. Rhoswen       | step.done | step=SEALSTRIP reading="both bars and eight strips tight"

day 4 2027-04-10
# Tools read first: W3 ran out yesterday and is hung up.
06:05 | D. Wrexholme     | step.done | step=PERMIT paper="P-1004-1" reading="LEL 0 %, O2 20.9 %, H2S 0 ppm; valid to 18:00"
06:10 | N. Quillbrook    | tool.checked | tool=W1 good_until=2027-09-30 serial=HW-108
06:10 | N. Quillbrook    | tool.checked | tool=W2 good_until=2027-08-15 serial=TW-217
06:11 | N. Quillbrook    | tool.checked | tool=P1 good_until=2027-10-31 serial=TP-12
06:12 | N. Quillbrook    | tool.checked | tool={GA,GB} good_until=2027-07-20
06:14 | N. Quillbrook    | tool.checked | tool=W3 good_until=2027-04-09 serial=TW-214 note="ran out yesterday"
06:15 | N. Quillbrook    | tool.returned | tool=W3
06:16 | N. Quillbrook    | step.done | step=TOOLCAL:W3 second="M. Trevanick"
        reading="sticker 2027-04-09: hung up in the tool room, not on this job"

# Last look through the shell, way-up check, and the bundle goes in.
06:40 | R. Ellingsgard   | step.done | step=ENTRY_GAS paper="E-1004-1" reading="O2 20.9 %, LEL 0 %, H2S 0 ppm; standby man at the opening"
06:45 | M. Trevanick     | step.started | step=FME_SHELL
06:46 | M. Trevanick     | piece.in | space=shell what="lead lamp"
06:55 | M. Trevanick     | piece.out | space=shell what="lead lamp"
07:00 | M. Trevanick     | step.done | step=FME_SHELL second="S. Oduwale" reading="1 in, 1 out; N1, N2 and D1 seen through"
07:10 | M. Trevanick     | step.done | step=ORIENT second="S. Oduwale"
        reading="T at 12, plate under N1, first cut up, slots level, dowel at 12"
07:40 | C. Rhoswen       | gasket.fitted | item=G3-1 joint=J3
07:50 | J. Karlsby       | step.done | step=LIFTPLAN:bundle paper="LP-103" reading="ground dry, wind 3 m/s; 4300 kg"
08:50 | J. Karlsby       | step.done | step=RIG reading="wide slings at 1.34 and 4.75 m, both at baffles, level" entered="M. Trevanick"
09:30 | J. Karlsby       | step.done | step=EXCL reading="both ends empty, bore empty" entered="M. Trevanick"
09:40 | J. Karlsby       | step.started | step=INSERT
09:58 | J. Karlsby       | bundle.force_read | way=insert position="1.0 m" force="7.5 kN" entered="M. Trevanick"
10:14 | J. Karlsby       | bundle.force_read | way=insert position="2.0 m" force="8 kN" entered="M. Trevanick"
10:30 | J. Karlsby       | bundle.force_read | way=insert position="3.0 m" force="9.5 kN" entered="M. Trevanick"
10:42 | J. Karlsby       | bundle.force_read | way=insert position="3.8 m" force="14 kN" entered="M. Trevanick"
10:43 | M. Trevanick     | note.written |
        text="Stopped at 3.8 m: the place of the dressed bead. Level looked at, bars greased, on again; expected 6 to 21 kN."
10:58 | J. Karlsby       | bundle.force_read | way=insert position="4.8 m" force="10.5 kN" entered="M. Trevanick"
11:15 | J. Karlsby       | bundle.force_read | way=insert position="5.6 m" force="9 kN" entered="M. Trevanick"
11:50 | J. Karlsby       | step.done | step=INSERT reading="home on pull-in studs, 4.0 4.0 4.1 4.0 mm; most 14 kN at 3.8 m"
        entered="M. Trevanick"
12:10 | I. Belmarsh      | step.done | step=HOLD_TS reading="four collar studs home"

# Channel on, girth joint J2 and J3 on one set of studs. Rotational after the wait by the night crew.
12:50 | I. Belmarsh      | gasket.fitted | item=G2-1 joint=J2
13:30 | I. Belmarsh      | step.done | step=CHAN_ON reading="marks meet, both plates in their slots"
14:00 | C. Rhoswen       | step.done | step=NOZ_SLACK:{N3,N4} reading="flanges free, hangers loose"
14:10 | M. Trevanick     | step.done | step=TOOLTAB:{J2,J3} second="I. Belmarsh" reading="615 N.m, W1 HW-108 with its own pump table"
14:25 | I. Belmarsh      | joint.pass_done | joint=J2 pass="four snug" torque="40 N.m" lubricant="nickel anti-seize, lot 7"
        studs=1,19,10,28 started_at="14:15"
14:26 | I. Belmarsh      | joint.gap_read | joint=J2 pass="four snug" gaps="3.3 3.3 3.4 3.3 mm"
14:40 | I. Belmarsh      | joint.pass_done | joint=J2 pass="all snug" lubricant="nickel anti-seize, lot 7" started_at="14:28"
15:25 | I. Belmarsh      | joint.pass_done | joint=J2 pass="pass 1" torque="205 N.m" tool=W1 lubricant="nickel anti-seize, lot 7"
        started_at="14:45" note="a third: 200 is the least of this wrench"
16:10 | C. Rhoswen       | joint.pass_done | joint=J2 pass="pass 2" torque="370 N.m" tool=W1 lubricant="nickel anti-seize, lot 7"
        started_at="15:30"
17:00 | C. Rhoswen       | joint.pass_done | joint=J2 pass="pass 3" torque="615 N.m" tool=W1 lubricant="nickel anti-seize, lot 7"
        started_at="16:15"
17:50 | C. Rhoswen       | joint.pass_done | joint=J2 pass=round torque="615 N.m" tool=W1 lubricant="nickel anti-seize, lot 7"
        started_at="17:05" moved=0 note="twice round, none moved the second time"
18:00 | M. Trevanick     | shift.changed | to="H. Achterberg" note="J2 rounded at 17:50, again from 21:50; ring for the morning"
18:05 | L. Brackendale   | step.done | step=PERMIT paper="P-1004-2" reading="LEL 0 %, O2 20.9 %; valid to 06:00"
18:10 | H. Achterberg    | tool.checked | tool=W1 good_until=2027-09-30 serial=HW-108
19:20 | P. Duvenhage     | blind.in | blind=TB1 second="H. Achterberg"
20:30 | P. Duvenhage     | blind.in | blind=TB2 second="H. Achterberg"
21:20 | P. Duvenhage     | step.done | step=SB_S:{V2,D1,TW1,PG1} paper="SB-103"
        reading="V2 and D1 valved for the test, the rest plugged, rated"
21:40 | H. Achterberg    | water.chloride_read | test=S1 chloride_mg_l=38 source="fire main, tank 2"
22:35 | D. Olukoya-Finch | joint.pass_done | joint=J2 pass="round after the wait" torque="615 N.m" tool=W1
        lubricant="nickel anti-seize, lot 7" started_at="22:10" moved=6
22:55 | P. Duvenhage     | joint.pass_done | joint=J2 pass=verify torque="615 N.m" tool=W1 started_at="22:40" moved=0
23:00 | H. Achterberg    | hold.signed | step=GIRTH_TORQ:J2 role="crew lead" verdict=accepted
        words="every pass on the sheet, second man P. Duvenhage"

day 5 2027-04-11
# T1, the ring test.
00:40 | D. Olukoya-Finch | step.done | step=TRING:S1 reading="ring R-813, rated 40 bar, packing even"
06:00 | H. Achterberg    | shift.changed | to="M. Trevanick" note="ring in, blinds on, nothing filled"
06:05 | D. Wrexholme     | step.done | step=PERMIT paper="P-1104-1" reading="LEL 0 %, O2 20.9 %; valid to 18:00"
06:08 | N. Quillbrook    | tool.checked | tool=W1 good_until=2027-09-30 serial=HW-108
06:08 | N. Quillbrook    | tool.checked | tool=W2 good_until=2027-08-15 serial=TW-217
06:09 | N. Quillbrook    | tool.checked | tool=P1 good_until=2027-10-31 serial=TP-12
06:09 | N. Quillbrook    | tool.checked | tool={GA,GB} good_until=2027-07-20
06:10 | N. Quillbrook    | step.done | step=TOOLCAL:W3 second="M. Trevanick" reading="still hung up, out of date, not on this job"
06:12 | A. Castellane    | step.done | step=THRUST_OK role=engineer paper="TS-103" reading="790 kN, tubes at 12 MPa: accepted for 22.4 bar"
06:15 | M. Trevanick     | step.done | step=RV_S1:S1 reading="RV-44 at 23.8 bar, nothing shut between; GA PG-331, GB PG-332"
06:18 | C. Rhoswen       | step.started | step=FILL_S1:S1
07:30 | C. Rhoswen       | step.done | step=FILL_S1:S1 reading="2010 L from D1, V2 running clear, wiped dry"
07:32 | S. Oduwale       | step.done | step=MDT_S1:S1 reading="metal 14 degC, least 7"
07:35 | M. Trevanick     | step.done | step=TESTZONE_S1:S1 reading="roped; pump man C. Rhoswen, one voice M. Trevanick"
07:40 | C. Rhoswen       | test.reading | test=S1 pressure="0 bar" metal="14 degC" water="13 degC" air="9 degC"
        note="V2 running clear 4 min, shell wiped dry"
07:46 | C. Rhoswen       | test.reading | test=S1 pressure="11.2 bar" metal="14 degC" water="13 degC" air="9 degC"
        note="half: ring packing weeps; pump off"
07:47 | M. Trevanick     | note.written |
        text="The weep is at the packing of the test ring: test gear, not the exchanger. Down to 0 before anybody touches it."
07:48 | C. Rhoswen       | test.reading | test=S1 pressure="0 bar" metal="14 degC" water="13 degC" air="9 degC"
        note="dropped to 0, V2 open; ring packing nipped evenly"
07:53 | C. Rhoswen       | test.reading | test=S1 pressure="0 bar" metal="14 degC" water="13 degC" air="9 degC"
        note="V2 running clear, shut; tools off the joint, raising again"
07:56 | C. Rhoswen       | test.reading | test=S1 pressure="11.2 bar" metal="14 degC" water="13 degC" air="9 degC"
        note="half again, ring packing dry"
08:05 | C. Rhoswen       | test.reading | test=S1 pressure="22.4 bar" metal="14 degC" water="14 degC" air="10 degC" note="at test"
08:10 | C. Rhoswen       | test.reading | test=S1 pressure="22.3 bar" metal="14 degC" water="14 degC" air="10 degC"
08:20 | C. Rhoswen       | test.reading | test=S1 pressure="22.0 bar" metal="14 degC" water="14 degC" air="11 degC"
        note="drip at the front, row 9 tube 14; the same at the rear"
08:22 | S. Oduwale       | tube.leaks | tube=9-14 ends=both test=S1
08:35 | C. Rhoswen       | test.reading | test=S1 pressure="21.6 bar" metal="14 degC" water="14 degC" air="11 degC"
        note="one tube, both ends; no other tube end wet"
08:38 | S. Oduwale       | test.result | test=S1 verdict=failed pressure="22.4 bar" second="M. Trevanick"
        words="tube 9-14 runs from the bore at both ends"
08:40 | C. Rhoswen       | test.reading | test=S1 pressure="0 bar" metal="14 degC" water="14 degC" air="11 degC"
        note="vented; drained at 08:50"

# One tube pierced and plugged, both ends; the test again from the fill.
08:50 | S. Oduwale       | tube.to_plug | tube=9-14 why="leaks from the bore at both ends in the ring test"
08:55 | I. Belmarsh      | piece.in | space=channel what="plug tool" count=3
08:57 | R. Ellingsgard   | step.done | step=ENTRY_GAS paper="E-1104-1" reading="channel and rear end: O2 20.9 %, LEL 0 %, H2S 0 ppm"
08:58 | I. Belmarsh      | tube.pierced | tube=9-14
09:24 | I. Belmarsh      | tube.plugged | tube=9-14 ends=both plug="taper plug, carbon steel, counted in from both ends"
09:25 | I. Belmarsh      | piece.out | space=channel what="plug tool" count=3
09:25 | S. Oduwale       | step.done | step=TESTKIND second="A. Castellane" paper="TS-103"
        reading="plugged tube: ring test again in full, the rest as written"
09:26 | A. Castellane    | step.done | step=THRUST_OK role=engineer paper="TS-103" reading="same pressure, same push: accepted"
09:26 | C. Rhoswen       | step.done | step=TRING:S1 reading="ring still in, packing even after the nip"
09:27 | C. Rhoswen       | step.done | step=TBLIND_S:{TB1,TB2} second="M. Trevanick" reading="still on, looked at"
09:27 | C. Rhoswen       | step.done | step=SB_S:{V2,D1,TW1,PG1} reading="as before; V2 and D1 left usable"
09:28 | N. Quillbrook    | tool.checked | tool={GA,GB} good_until=2027-07-20
09:29 | M. Trevanick     | step.done | step=RV_S1:S1 reading="RV-44 at 23.8 bar, nothing shut between; GA and GB"
09:30 | C. Rhoswen       | step.started | step=FILL_S1:S1
09:57 | C. Rhoswen       | step.done | step=FILL_S1:S1 reading="both hoses; V2 running clear, wiped dry"
09:58 | S. Oduwale       | step.done | step=MDT_S1:S1 reading="metal 14 degC, least 7"
09:59 | M. Trevanick     | step.done | step=TESTZONE_S1:S1 reading="roped; nobody before the plugs; pump man C. Rhoswen"
10:00 | C. Rhoswen       | test.reading | test=S1 pressure="0 bar" metal="14 degC" water="14 degC" air="11 degC"
10:05 | C. Rhoswen       | test.reading | test=S1 pressure="11.2 bar" metal="14 degC" water="14 degC" air="11 degC"
        note="half, ring packing and tube ends dry"
10:12 | C. Rhoswen       | test.reading | test=S1 pressure="22.4 bar" metal="14 degC" water="14.0 degC" air="11 degC" pumped="4.6 L"
        note="at test"
10:27 | C. Rhoswen       | test.reading | test=S1 pressure="22.4 bar" metal="14 degC" water="14.0 degC" air="12 degC"
10:42 | C. Rhoswen       | test.reading | test=S1 pressure="22.4 bar" metal="14 degC" water="14.0 degC" air="12 degC"
        note="30 min, every tube end and plug dry"
10:43 | S. Oduwale       | test.result | test=S1 verdict=passed pressure="22.4 bar" held="30 min" second="M. Trevanick"
        words="all tube ends, plugs and the tubesheet edge dry"
10:46 | C. Rhoswen       | test.reading | test=S1 pressure="0 bar" metal="14 degC" water="14 degC" air="12 degC" note="vented high"
10:58 | C. Rhoswen       | step.done | step=STEST1_DRAIN:S1 reading="V2 open first, D1 dry and left open"
11:05 | C. Rhoswen       | step.done | step=TRING_OFF:S1 reading="ring and packing out, counted"
11:15 | S. Oduwale       | step.done | step=REPAIRDOC:9-14 paper="RS-103-1" reading="plug map redrawn, four of 592"
11:16 | R. Ellingsgard   | step.done | step=ENTRY_GAS paper="E-1104-1" reading="channel: O2 20.9 %, LEL 0 %, H2S 0 ppm"
11:18 | S. Oduwale       | witness.counted | what="plugged tubes" count=4

# Channel cover J1 with the davit. Crane stood down for wind in the afternoon, so the floating head waits.
11:20 | M. Trevanick     | step.done | step=FME_CHAN second="S. Oduwale" reading="plug tools 3 in, 3 out; tube ends and plates seen"
11:25 | M. Trevanick     | step.done | step=TOOLTAB:J1 second="I. Belmarsh" reading="615 N.m, W1 HW-108 with its own pump table"
11:30 | I. Belmarsh      | gasket.fitted | item=G1-1 joint=J1
11:45 | I. Belmarsh      | joint.pass_done | joint=J1 pass="four snug" torque="40 N.m" lubricant="nickel anti-seize, lot 7"
        studs=1,17,9,25 started_at="11:38"
11:46 | I. Belmarsh      | joint.gap_read | joint=J1 pass="four snug" gaps="3.2 3.3 3.3 3.2 mm"
11:55 | I. Belmarsh      | joint.pass_done | joint=J1 pass="all snug" lubricant="nickel anti-seize, lot 7" started_at="11:47"
12:18 | I. Belmarsh      | joint.pass_done | joint=J1 pass="pass 1" torque="205 N.m" tool=W1 lubricant="nickel anti-seize, lot 7"
        started_at="11:58"
12:44 | I. Belmarsh      | joint.pass_done | joint=J1 pass="pass 2" torque="370 N.m" tool=W1 lubricant="nickel anti-seize, lot 7"
        started_at="12:20"
13:00 | J. Karlsby       | note.written | text="Crane stood down: wind 14 m/s, gusts 17; limit 10. No lift until it drops."
        entered="M. Trevanick"
13:12 | I. Belmarsh      | joint.pass_done | joint=J1 pass="pass 3" torque="165 N.m" tool=W1 lubricant="nickel anti-seize, lot 7"
        started_at="12:46" entered="M. Trevanick" | @j1p3
13:40 | I. Belmarsh      | joint.pass_done | joint=J1 pass=round torque="615 N.m" tool=W1 lubricant="nickel anti-seize, lot 7"
        started_at="13:16" moved=0 note="twice round, none moved the second time"
13:12 | I. Belmarsh      | joint.pass_done | corrects=@j1p3 joint=J1 pass="pass 3" torque="615 N.m" tool=W1
        lubricant="nickel anti-seize, lot 7" started_at="12:46" note="165 was a slip of the typist" entered="M. Trevanick"
15:00 | C. Rhoswen       | blind.in | blind=TB3 second="S. Oduwale"
16:00 | C. Rhoswen       | blind.in | blind=TB4 second="S. Oduwale"
16:40 | C. Rhoswen       | step.done | step=SB_T:{V1,V3,V4,D3,TW2,PG2} paper="SB-103"
        reading="V1, V3, V4 valved: a vent on every pass; the rest plugged, rated"
17:52 | I. Belmarsh      | joint.pass_done | joint=J1 pass="round after the wait" torque="615 N.m" tool=W1
        lubricant="nickel anti-seize, lot 7" started_at="17:40" moved=4
17:58 | C. Rhoswen       | joint.pass_done | joint=J1 pass=verify torque="615 N.m" tool=W1 started_at="17:53" moved=0
18:00 | J. Karlsby       | note.written | text="Wind 6 m/s, crane released for the morning." entered="M. Trevanick"
18:05 | M. Trevanick     | note.written |
        text="Nights stood down: nothing to do without the crane. D. Olukoya-Finch in at 11:00 tomorrow."

day 6 2027-04-12
# Ring and head up with the crane.
06:05 | D. Wrexholme     | step.done | step=PERMIT paper="P-1204-1" reading="LEL 0 %, O2 20.9 %; valid to 18:00"
06:10 | N. Quillbrook    | tool.checked | tool=W1 good_until=2027-09-30 serial=HW-108
06:10 | N. Quillbrook    | tool.checked | tool=W2 good_until=2027-08-15 serial=TW-217
06:11 | N. Quillbrook    | tool.checked | tool=P1 good_until=2027-10-31 serial=TP-12
06:12 | N. Quillbrook    | tool.checked | tool={GA,GB} good_until=2027-07-20
06:13 | N. Quillbrook    | step.done | step=TOOLCAL:W3 second="M. Trevanick" reading="still hung up, out of date, not on this job"
06:45 | R. Ellingsgard   | step.done | step=ENTRY_GAS paper="E-1204-1" reading="rear end: O2 20.9 %, LEL 0 %, H2S 0 ppm"
06:50 | I. Belmarsh      | piece.in | space="rear head" what="lead lamp"
06:58 | I. Belmarsh      | piece.out | space="rear head" what="lead lamp"
07:00 | M. Trevanick     | step.done | step=FME_REAR second="S. Oduwale" reading="1 in, 1 out; rear tube ends and head seen"
07:50 | I. Belmarsh      | step.done | step=SPLIT reading="top half hung first, marks meet, bevels to the tubesheet"
08:15 | I. Belmarsh      | gasket.fitted | item=G4-1 joint=J4
08:50 | I. Belmarsh      | step.done | step=FH_ON:J4 reading="marks meet, 36 studs through cover and ring"
08:55 | M. Trevanick     | step.done | step=TOOLTAB:J4 second="I. Belmarsh" reading="411 N.m, W2 TW-217"
09:00 | N. Quillbrook    | tool.issued | tool=W3 to="I. Belmarsh"

# J4, first make-up: the wrong wrench, a shower, a swap in the middle of the last pass, no round, no second man.
09:20 | I. Belmarsh      | joint.pass_done | joint=J4 pass="four snug" torque="40 N.m" lubricant="nickel anti-seize, lot 7"
        studs=1,19,10,28 started_at="09:10"
09:21 | I. Belmarsh      | joint.gap_read | joint=J4 pass="four snug" gaps="3.1 3.1 3.9 3.2 mm" entered="M. Trevanick" | @gap
09:28 | I. Belmarsh      | joint.pass_done | joint=J4 pass="all snug" lubricant="nickel anti-seize, lot 7" started_at="09:22"
09:21 | I. Belmarsh      | joint.gap_read | corrects=@gap joint=J4 pass="four snug" gaps="3.1 3.1 3.3 3.2 mm" entered="M. Trevanick"
09:58 | I. Belmarsh      | joint.pass_done | joint=J4 pass="pass 1" torque="123 N.m" tool=W3 lubricant="nickel anti-seize, lot 7"
        started_at="09:30"
10:34 | I. Belmarsh      | joint.pass_done | joint=J4 pass="pass 2" torque="288 N.m" tool=W3 lubricant="nickel anti-seize, lot 7"
        started_at="10:05" note="shower at 10:20, studs 13-19 wet"
11:00 | M. Trevanick     | shift.changed | to="D. Olukoya-Finch"
        note="swap in mid-shift: Trevanick to 14-E-101, Belmarsh home to come back for the night; C. Rhoswen is on pass 3"
11:20 | C. Rhoswen       | joint.pass_done | joint=J4 pass="pass 3" torque="411 N.m" tool=W3 lubricant="nickel anti-seize, lot 7"
        dry=13-19 started_at="10:50" note="13-19 wiped with a rag and pulled as they were"

# Somebody goes on to the test all the same.
11:25 | D. Wrexholme     | step.done | step=PERMIT paper="P-1204-2" reading="LEL 0 %, O2 20.9 %; valid to 18:00"
11:28 | N. Quillbrook    | tool.checked | tool={GA,GB} good_until=2027-07-20
11:30 | D. Olukoya-Finch | water.chloride_read | test=T chloride_mg_l=41 source="fire main, tank 2"
11:34 | D. Olukoya-Finch | step.done | step=RV_T:T reading="RV-44 at 33.0 bar, nothing shut between; GA PG-331, GB PG-332"
11:40 | D. Olukoya-Finch | step.started | step=FILL_T:T
12:55 | D. Olukoya-Finch | step.done | step=FILL_T:T reading="1130 L from D3, V1, V3, V4 and the top of pass 2 running clear"
12:58 | S. Oduwale       | step.done | step=MDT_T:T reading="metal 15 degC, least 7"
13:00 | D. Olukoya-Finch | step.done | step=TESTZONE_T:T reading="roped; pump man C. Rhoswen"
13:02 | C. Rhoswen       | test.reading | test=T pressure="0 bar" metal="15 degC" water="14 degC" air="12 degC"
        note="filled, 4 vents run clear (pass 1-4)"
13:20 | C. Rhoswen       | test.reading | test=T pressure="15.7 bar" metal="15 degC" water="14 degC" air="12 degC"
        note="half, floating head dry"
13:31 | C. Rhoswen       | test.reading | test=T pressure="20.0 bar" metal="15 degC" water="14 degC" air="12 degC"
13:36 | C. Rhoswen       | test.reading | test=T pressure="22.2 bar" metal="15 degC" water="14 degC" air="12 degC"
        note="steady dribble at the floating head, 4 to 6 o'clock"
13:36 | S. Oduwale       | joint.weeped | joint=J4 test=T pressure="22.2 bar" clock="4 to 6"
13:38 | C. Rhoswen       | test.reading | test=T pressure="21.1 bar" metal="15 degC" water="14 degC" air="12 degC" note="pump off"
13:40 | C. Rhoswen       | test.reading | test=T pressure="20.1 bar" metal="15 degC" water="14 degC" air="12 degC"
13:42 | C. Rhoswen       | test.reading | test=T pressure="19.2 bar" metal="15 degC" water="14 degC" air="12 degC"
13:44 | C. Rhoswen       | test.reading | test=T pressure="18.4 bar" metal="15 degC" water="14 degC" air="12 degC"
        note="stop; vented from V1"
13:52 | C. Rhoswen       | test.reading | test=T pressure="0 bar" metal="15 degC" water="14 degC" air="12 degC"
        note="V1 open, drained through D3"
13:53 | S. Oduwale       | test.result | test=T verdict=failed pressure="22.2 bar" second="D. Olukoya-Finch"
        words="floating head dribbles from 4 to 6 o'clock; nobody showed me the bolt-up record"

# Why: loads, wrench, gasket, face.
14:00 | D. Olukoya-Finch | note.written | text="C. Rhoswen sent to rest, in again at 22:00. Strip with the riggers."
14:05 | S. Oduwale       | hold.signed | step=FH_TORQ:J4 role=inspector verdict=refused
        words="studs 13-19 dry, wrench three days out of date, no round, no second man"
14:15 | A. Castellane    | joint.loads_read | joint=J4 method="stud length by ultrasound, before a nut was touched"
        loads="114.6 100.6 107.6 108.1 94.2 90.5 104.5 91.7 98.6 112.2 111.7 91.6 60.8 62.8 62.2 59.7 62.9 61.2 61.5 102.4 93.3 99.4 108.0
        107.7 99.5 109.4 103.7 110.5 95.1 98.3 103.9 113.7 104.9 101.1 95.1 95.9 kN"
14:25 | N. Quillbrook    | tool.bad | tool=W3 why="sticker 2027-04-09, given out in place of TW-217 without a look"
        last_good_at="2027-04-09T18:00:00+02:00"
14:26 | N. Quillbrook    | tool.returned | tool=W3
14:30 | J. Karlsby       | step.done | step=LIFTPLAN:floating-head paper="LP-103" reading="wind 5 m/s, 295 kg"
14:32 | J. Karlsby       | step.done | step=SUPPORT_OFF:floating-head reading="hook plumb over the lug"
14:40 | D. Olukoya-Finch | joint.opened | joint=J4 why="weeped at 22.2 bar; not pulled up as the card says"
15:20 | D. Olukoya-Finch | gasket.removed | item=G4-1 why="loaded once; imprint faint from 4 to 6 o'clock, a line across it at 5"
16:05 | S. Oduwale       | face.measured | joint=J4 face="floating tubesheet" mark=scratch depth="0.30 mm" span="9 mm" land="12 mm"
        clock="5"
16:10 | S. Oduwale       | face.judged | joint=J4 face="floating tubesheet" verdict="to repair"
        words="9 of 12 mm: none allowed under this gasket; missed on day 3 under grease"
16:12 | S. Oduwale       | finding.raised | text="Floating tubesheet scored across the land at 5 o'clock: skim, measure, look again"
        letter=A about=J4 | @score
16:40 | A. Castellane    | note.written | text="Skim up to 0.8 mm accepted: sheet 75.0 mm, least 74.0."
17:10 | G. Hallorsund    | piece.in | space="rear head" what="piece of the facer" count=4
18:00 | D. Olukoya-Finch | shift.changed | to="H. Achterberg"
        note="facer set up on the floating tubesheet; I. Belmarsh in at 20:00, C. Rhoswen at 22:00"
18:05 | L. Brackendale   | step.done | step=PERMIT paper="P-1204-3" reading="LEL 0 %, O2 20.9 %; valid to 06:00"
19:10 | G. Hallorsund    | face.skimmed | joint=J4 face="floating tubesheet" part="floating tubesheet" off="0.4 mm" left="74.6 mm"
19:30 | G. Hallorsund    | piece.out | space="rear head" what="piece of the facer" count=4
19:40 | S. Oduwale       | face.judged | joint=J4 face="floating tubesheet" verdict=accepted
        words="score gone, finish good, rib edge and land in one plane"
19:42 | S. Oduwale       | step.done | step=INSP_FACE:J4 paper="FS-103-2"
        reading="both faces wiped clean, two lamps; 74.6 mm left, least 74.0"
19:44 | S. Oduwale       | finding.closed | finding=@score how="skimmed 0.4 mm, 74.6 mm left; accepted"
19:46 | S. Oduwale       | step.done | step=TESTKIND second="A. Castellane" paper="TS-103"
        reading="face skimmed, no pressure part welded: tube test again in full, last shell test as written"

# J4, second make-up: new gasket, right wrench, every pass.
19:50 | N. Quillbrook    | tool.checked | tool=W1 good_until=2027-09-30 serial=HW-108
19:50 | N. Quillbrook    | tool.checked | tool=W2 good_until=2027-08-15 serial=TW-217
19:51 | N. Quillbrook    | tool.checked | tool=W3 good_until=2027-10-12 serial=TW-214 note="calibrated on the bench tonight, was 2 % low"
19:52 | N. Quillbrook    | tool.checked | tool=P1 good_until=2027-10-31 serial=TP-12
19:53 | N. Quillbrook    | tool.checked | tool={GA,GB} good_until=2027-07-20
19:55 | N. Quillbrook    | gasket.received | item=G4-2 gasket=G4 kind=kammprofile od="795.0 mm" id="771.0 mm" thickness="3.2 mm" ribs=1
20:05 | I. Belmarsh      | step.done | step=BOLT_PREP:J4 reading="36 washed, dried, run by hand; nickel anti-seize, lot 7"
20:05 | R. Ellingsgard   | step.done | step=ENTRY_GAS paper="E-1204-2" reading="rear end: O2 20.9 %, LEL 0 %, H2S 0 ppm; standby man there"
20:10 | H. Achterberg    | step.done | step=FME_REAR second="S. Oduwale" reading="facer off, swarf out, 4 in, 4 out"
20:28 | I. Belmarsh      | step.done | step=SPLIT reading="top half hung first, marks meet"
20:36 | I. Belmarsh      | gasket.fitted | item=G4-2 joint=J4
20:55 | I. Belmarsh      | step.done | step=FH_ON:J4 reading="marks meet, 36 studs through cover and ring"
21:00 | H. Achterberg    | step.done | step=TOOLTAB:J4 second="I. Belmarsh" reading="411 N.m, W2 TW-217; number and sticker read aloud"
21:14 | I. Belmarsh      | joint.pass_done | joint=J4 pass="four snug" torque="40 N.m" lubricant="nickel anti-seize, lot 7"
        studs=1,19,10,28 started_at="21:05"
21:15 | I. Belmarsh      | joint.gap_read | joint=J4 pass="four snug" gaps="3.2 3.2 3.2 3.2 mm"
21:19 | I. Belmarsh      | joint.pass_done | joint=J4 pass="all snug" lubricant="nickel anti-seize, lot 7" started_at="21:16"
21:46 | I. Belmarsh      | joint.pass_done | joint=J4 pass="pass 1" torque="123 N.m" tool=W2 lubricant="nickel anti-seize, lot 7"
        started_at="21:20"
22:18 | I. Belmarsh      | joint.pass_done | joint=J4 pass="pass 2" torque="288 N.m" tool=W2 lubricant="nickel anti-seize, lot 7"
        started_at="21:52"
22:54 | C. Rhoswen       | joint.pass_done | joint=J4 pass="pass 3" torque="411 N.m" tool=W2 lubricant="nickel anti-seize, lot 7"
        started_at="22:26"
22:56 | H. Achterberg    | witness.counted | what="studs of a pass" of=J4 pass="pass 3" count=36
23:16 | C. Rhoswen       | joint.pass_done | joint=J4 pass=round torque="411 N.m" tool=W2 lubricant="nickel anti-seize, lot 7"
        started_at="22:58" moved=0 note="no nut moved the second time round"

day 7 2027-04-13
# Rotational after the wait, second man, loads read.
03:38 | C. Rhoswen       | joint.pass_done | joint=J4 pass="round after the wait" torque="411 N.m" tool=W2
        lubricant="nickel anti-seize, lot 7" started_at="03:20" moved=9 note="9 nuts moved 5 to 20 degrees"
04:00 | P. Duvenhage     | joint.pass_done | joint=J4 pass=verify torque="411 N.m" tool=W2 started_at="03:42" moved=0
04:04 | P. Duvenhage     | joint.loads_read | joint=J4 method="stud length by ultrasound"
        loads="98.5 108.8 107.5 107.6 102.7 105.1 99.6 102.0 97.5 101.2 99.0 96.9 107.9 96.9 106.5 105.0 96.8 102.1 108.9 108.8 103.1
        105.9 105.1 99.5 103.0 103.6 100.9 106.5 101.5 105.6 96.5 101.5 96.2 104.2 107.3 102.9 kN"
04:06 | S. Oduwale       | hold.signed | step=FH_TORQ:J4 role=inspector verdict=accepted
        words="every pass on the sheet, second man P. Duvenhage, 94 to 106 %"

# T2 again, over the end of the night shift.
04:08 | P. Duvenhage     | step.done | step=TBLIND_T:{TB3,TB4} second="H. Achterberg" reading="still on, looked at"
04:10 | P. Duvenhage     | step.done | step=SB_T:{V1,V3,V4,D3,TW2,PG2} reading="as before; a vent on every pass"
04:12 | H. Achterberg    | step.done | step=RV_T:T reading="RV-44 at 33.0 bar, nothing shut between; GA and GB"
04:15 | P. Duvenhage     | step.started | step=FILL_T:T
05:05 | P. Duvenhage     | step.done | step=FILL_T:T reading="1130 L from D3, all vents running clear, wiped dry"
05:08 | S. Oduwale       | step.done | step=MDT_T:T reading="metal 13 degC, least 7"
05:10 | H. Achterberg    | step.done | step=TESTZONE_T:T reading="roped; pump man P. Duvenhage, one voice H. Achterberg"
05:15 | P. Duvenhage     | step.started | step=TTEST:T
05:15 | P. Duvenhage     | test.reading | test=T pressure="0 bar" metal="13 degC" water="12 degC" air="8 degC"
        note="refilled, vents clear"
05:31 | P. Duvenhage     | test.reading | test=T pressure="15.7 bar" metal="13 degC" water="12 degC" air="8 degC" note="half, dry"
05:40 | P. Duvenhage     | test.reading | test=T pressure="31.3 bar" metal="13 degC" water="12.0 degC" air="8 degC" pumped="2.2 L"
        note="at test"
05:50 | P. Duvenhage     | test.reading | test=T pressure="31.4 bar" metal="13 degC" water="12.07 degC" air="9 degC"
05:52 | S. Oduwale       | witness.counted | what=gauge of=T pressure="31.4 bar"
06:00 | P. Duvenhage     | test.reading | test=T pressure="31.5 bar" metal="13 degC" water="12.14 degC" air="10 degC"
        note="sun on the channel"
06:10 | P. Duvenhage     | test.reading | test=T pressure="31.6 bar" metal="13 degC" water="12.21 degC" air="11 degC"
        note="30 min, all joints dry"
06:10 | S. Oduwale       | test.result | test=T verdict=passed pressure="31.3 bar" held="30 min" second="H. Achterberg"
        words="floating head, channel joints and shell drain dry; the rise is the sun on the channel"
06:14 | P. Duvenhage     | test.reading | test=T pressure="0 bar" metal="13 degC" water="12.6 degC" air="11 degC" note="vented high"
06:18 | P. Duvenhage     | step.done | step=TTEST_DRAIN:T reading="V1 opened first, D3 dry"
06:20 | H. Achterberg    | shift.changed | to="M. Trevanick" note="T2 passed; shell cover next"

# Shell cover J5.
06:25 | D. Wrexholme     | step.done | step=PERMIT paper="P-1304-1" reading="LEL 0 %, O2 20.9 %; valid to 18:00"
06:30 | N. Quillbrook    | tool.checked | tool=W1 good_until=2027-09-30 serial=HW-108
06:30 | N. Quillbrook    | tool.checked | tool=W2 good_until=2027-08-15 serial=TW-217
06:31 | N. Quillbrook    | tool.checked | tool=W3 good_until=2027-10-12 serial=TW-214
06:32 | N. Quillbrook    | tool.checked | tool=P1 good_until=2027-10-31 serial=TP-12
06:33 | N. Quillbrook    | tool.checked | tool={GA,GB} good_until=2027-07-20
06:50 | R. Ellingsgard   | step.done | step=ENTRY_GAS paper="E-1304-1" reading="behind the ring: O2 20.9 %, LEL 0 %, H2S 0 ppm"
06:50 | D. Olukoya-Finch | piece.in | space="shell-cover space" what="lead lamp"
06:50 | D. Olukoya-Finch | piece.in | space="shell-cover space" what="rag" count=2
07:10 | D. Olukoya-Finch | piece.out | space="shell-cover space" what="rag" count=2
07:12 | D. Olukoya-Finch | piece.out | space="shell-cover space" what="lead lamp"
07:20 | M. Trevanick     | step.done | step=FME_SC second="S. Oduwale" reading="3 in, 3 out; behind the ring and under the bundle seen"
07:30 | M. Trevanick     | step.done | step=TOOLTAB:J5 second="D. Olukoya-Finch" reading="410 N.m, W2 TW-217"
08:00 | D. Olukoya-Finch | gasket.fitted | item=G5-1 joint=J5
08:28 | D. Olukoya-Finch | joint.pass_done | joint=J5 pass="four snug" torque="40 N.m" lubricant="nickel anti-seize, lot 7"
        studs=1,19,10,28 started_at="08:18" note="cover on to its marks, D2 at the bottom"
08:29 | D. Olukoya-Finch | joint.gap_read | joint=J5 pass="four snug" gaps="3.3 3.2 3.2 3.3 mm"
08:36 | D. Olukoya-Finch | joint.pass_done | joint=J5 pass="all snug" lubricant="nickel anti-seize, lot 7" started_at="08:30"
08:56 | D. Olukoya-Finch | joint.pass_done | joint=J5 pass="pass 1" torque="150 N.m" tool=W2 lubricant="nickel anti-seize, lot 7"
        started_at="08:37" note="150 is the least of this wrench"
09:20 | D. Olukoya-Finch | joint.pass_done | joint=J5 pass="pass 2" torque="245 N.m" tool=W2 lubricant="nickel anti-seize, lot 7"
        started_at="08:58"
09:48 | D. Olukoya-Finch | joint.pass_done | joint=J5 pass="pass 3" torque="410 N.m" tool=W2 lubricant="nickel anti-seize, lot 7"
        started_at="09:22"
10:15 | D. Olukoya-Finch | joint.pass_done | joint=J5 pass=round torque="410 N.m" tool=W2 lubricant="nickel anti-seize, lot 7"
        started_at="09:50" moved=0 note="twice round, none moved the second time"
14:46 | D. Olukoya-Finch | joint.pass_done | joint=J5 pass="round after the wait" torque="410 N.m" tool=W2
        lubricant="nickel anti-seize, lot 7" started_at="14:30" moved=5
14:56 | M. Trevanick     | joint.pass_done | joint=J5 pass=verify torque="410 N.m" tool=W2 started_at="14:48" moved=0

# T3, the last shell test.
14:58 | D. Olukoya-Finch | step.done | step=SB_S2:D2 paper="SB-103" reading="D2 valved, left usable"
14:58 | M. Trevanick     | step.done | step=TBLIND_S:{TB1,TB2} second="S. Oduwale" reading="still on, looked at"
14:59 | D. Olukoya-Finch | step.done | step=SB_S:{V2,D1,TW1,PG1} reading="shut again but V2; D1 left usable"
14:59 | M. Trevanick     | water.chloride_read | test=S2 chloride_mg_l=40 source="fire main, tank 2"
15:00 | M. Trevanick     | step.done | step=RV_S2:S2 reading="RV-44 at 23.8 bar, nothing shut between; GA and GB"
15:02 | D. Olukoya-Finch | step.started | step=FILL_S2:S2
16:12 | D. Olukoya-Finch | step.done | step=FILL_S2:S2 reading="2170 L from D1, V2 running clear, wiped dry; D3 and V1 open"
16:14 | S. Oduwale       | step.done | step=MDT_S2:S2 reading="metal 15 degC, least 7"
16:16 | M. Trevanick     | step.done | step=TESTZONE_S2:S2 reading="roped; pump man D. Olukoya-Finch"
16:20 | D. Olukoya-Finch | test.reading | test=S2 pressure="0 bar" metal="15 degC" water="14 degC" air="13 degC"
        note="filled, tube drain D3 and vent open"
16:35 | D. Olukoya-Finch | test.reading | test=S2 pressure="11.2 bar" metal="15 degC" water="14 degC" air="13 degC"
16:45 | D. Olukoya-Finch | test.reading | test=S2 pressure="22.4 bar" metal="15 degC" water="14 degC" air="13 degC"
17:15 | D. Olukoya-Finch | test.reading | test=S2 pressure="22.4 bar" metal="15 degC" water="14 degC" air="14 degC"
        note="30 min, shell cover and girth dry, tube drain dry"
17:15 | S. Oduwale       | test.result | test=S2 verdict=passed pressure="22.4 bar" held="30 min" second="M. Trevanick"
        words="shell cover, girth edge and tube drain dry"
17:20 | D. Olukoya-Finch | test.reading | test=S2 pressure="0 bar" metal="15 degC" water="14 degC" air="14 degC"
        note="vented, drained, blown"
18:00 | M. Trevanick     | shift.changed | to="H. Achterberg" note="both sides drained, blowing; spools tonight"

# Blow dry, test blinds off, small bore and spools back, nozzles by the night crew.
18:05 | L. Brackendale   | step.done | step=PERMIT paper="P-1304-2" reading="LEL 0 %, O2 20.9 %; valid to 06:00"
18:10 | H. Achterberg    | tool.checked | tool=W1 good_until=2027-09-30 serial=HW-108
18:10 | H. Achterberg    | tool.checked | tool=W2 good_until=2027-08-15 serial=TW-217
18:11 | H. Achterberg    | tool.checked | tool=W3 good_until=2027-10-12 serial=TW-214
18:11 | H. Achterberg    | tool.checked | tool=P1 good_until=2027-10-31 serial=TP-12
18:12 | H. Achterberg    | tool.checked | tool={GA,GB} good_until=2027-07-20
18:30 | H. Achterberg    | step.done | step=TOOLTAB:{J1,J2,J3,J4,J5,N1,N2,N3,N4} second="P. Duvenhage" paper="TT-103"
        reading="the whole tool sheet read back: N1 and N2 615, N3 and N4 410 N.m"
19:30 | P. Duvenhage     | step.done | step=DRAINDRY:shell reading="V2 open, low pressure, gauge 0 before D1 was touched; dry"
20:10 | P. Duvenhage     | step.done | step=DRAINDRY:tube reading="V1 open, low pressure, gauge 0; dry at D3"
20:40 | P. Duvenhage     | blind.out | blind=TB1 second="H. Achterberg"
21:05 | P. Duvenhage     | blind.out | blind=TB2 second="H. Achterberg"
21:25 | P. Duvenhage     | blind.out | blind=TB3 second="H. Achterberg"
21:45 | P. Duvenhage     | blind.out | blind=TB4 second="H. Achterberg"
22:40 | C. Rhoswen       | step.done | step=SB_IN:{V1,V2,V3,V4,D1,D2,D3,TW1,TW2,PG1,PG2} paper="SB-103"
        reading="eleven in, test plugs out and counted"

day 8 2027-04-14
00:20 | P. Duvenhage     | step.done | step=SPOOL_ON:N1 reading="faces clean, new gasket, free and parallel"
01:10 | P. Duvenhage     | step.done | step=SPOOL_ON:N2 reading="faces clean, new gasket, free and parallel"
02:00 | P. Duvenhage     | step.done | step=SPOOL_ON:N3 reading="faces clean, new gasket; hanger eased 3 mm"
02:40 | P. Duvenhage     | step.done | step=SPOOL_ON:N4 reading="faces clean, new gasket, free and parallel"
03:20 | C. Rhoswen       | step.done | step=NOZ_TORQ:N1 second="P. Duvenhage" paper="NB-103-1" reading="615 N.m, W1"
04:00 | C. Rhoswen       | step.done | step=NOZ_TORQ:N2 second="P. Duvenhage" paper="NB-103-2" reading="615 N.m, W1"
04:40 | C. Rhoswen       | step.done | step=NOZ_TORQ:N3 second="P. Duvenhage" paper="NB-103-3" reading="410 N.m, W2"
05:15 | C. Rhoswen       | step.done | step=NOZ_TORQ:N4 second="P. Duvenhage" paper="NB-103-4" reading="410 N.m, W2"
06:00 | H. Achterberg    | shift.changed | to="M. Trevanick" note="spools on and pulled up; blinds today"

# Process blinds out, one line each. The fourth waits for its second name.
06:05 | D. Wrexholme     | step.done | step=PERMIT paper="P-1404-1" reading="LEL 0 %, O2 20.9 %; valid to 18:00"
06:10 | N. Quillbrook    | tool.checked | tool=W1 good_until=2027-09-30 serial=HW-108
06:10 | N. Quillbrook    | tool.checked | tool=W2 good_until=2027-08-15 serial=TW-217
06:11 | N. Quillbrook    | tool.checked | tool=P1 good_until=2027-10-31 serial=TP-12
06:12 | N. Quillbrook    | step.done | step=TOOLCAL:W3 second="M. Trevanick" reading="still hung up, out of date, not on this job"
06:35 | M. Trevanick     | step.done | step=TOOLTAB:{N1,N2,N3,N4} second="I. Belmarsh" paper="TT-103"
        reading="joints behind the blinds: 615 N.m with W1 at B1 and B2, 410 N.m with W2 at B3 and B4"
06:50 | D. Wrexholme     | step.done | step=ZERO_OUT:B1 second="M. Trevanick" reading="bleed open, air moves, 0 bar"
06:55 | R. Ellingsgard   | step.done | step=GAS_BREAK reading="far end of N1 spool, at the bleed: LEL 0 %, H2S 0 ppm, benzene 0.1 ppm"
07:00 | I. Belmarsh      | step.started | step=BLIND_OUT:B1
08:20 | I. Belmarsh      | blind.out | blind=B1 second="D. Wrexholme"
08:25 | D. Wrexholme     | step.done | step=ZERO_OUT:B2 second="M. Trevanick" reading="bleed open, air moves, 0 bar"
08:27 | R. Ellingsgard   | step.done | step=GAS_BREAK reading="far end of N2 spool, at the bleed: LEL 0 %, H2S 0 ppm, benzene 0.1 ppm"
08:30 | I. Belmarsh      | step.started | step=BLIND_OUT:B2
09:50 | I. Belmarsh      | blind.out | blind=B2 second="D. Wrexholme"
09:55 | D. Wrexholme     | step.done | step=ZERO_OUT:B3 second="M. Trevanick" reading="bleed open, air moves, 0 bar"
09:57 | R. Ellingsgard   | step.done | step=GAS_BREAK reading="far end of N3 spool, at the bleed: LEL 0 %, H2S 0 ppm, benzene 0.1 ppm"
10:00 | D. Olukoya-Finch | step.started | step=BLIND_OUT:B3
11:20 | D. Olukoya-Finch | blind.out | blind=B3 second="D. Wrexholme"
11:25 | D. Wrexholme     | step.done | step=ZERO_OUT:B4 second="M. Trevanick" reading="bleed open, air moves, 0 bar"
11:27 | R. Ellingsgard   | step.done | step=GAS_BREAK reading="far end of N4 spool, at the bleed: LEL 0 %, H2S 0 ppm, benzene 0.1 ppm"
11:30 | D. Olukoya-Finch | step.started | step=BLIND_OUT:B4
12:55 | D. Olukoya-Finch | blind.out | blind=B4
13:00 | M. Trevanick     | witness.counted | what="blinds out" count=4
13:10 | M. Trevanick     | step.done | step=BOLTREC:{J1,J2,J3,J4,J5,N1,N2,N3,N4} second="S. Oduwale" paper="BR-103"
13:30 | D. Olukoya-Finch | step.done | step=SADDLE_FREE reading="2 mm under the nuts, slots clear"
14:05 | D. Wrexholme     | step.seconded | step=BLIND_OUT:B4
14:10 | D. Wrexholme     | step.done | step=RELIEF_IN:shell second="M. Trevanick" reading="locked open, seal 4471, walked to the outlet"
14:12 | D. Wrexholme     | step.done | step=RELIEF_IN:tube second="M. Trevanick" reading="locked open, seal 4472, walked to the outlet"

# Walkdown, tightness test, back to operations.
14:20 | S. Oduwale       | finding.raised | text="Cap on PG1 finger-tight" letter=A about=PG1 | @cap
14:22 | S. Oduwale       | finding.raised | text="Earth strap loose at the fixed saddle: T. Wray-Estrada, by 2027-04-20" letter=B
        about="fixed saddle" | @strap
14:24 | S. Oduwale       | finding.raised | text="Paint off the shell cover lug: next time" letter=C about="shell cover"
14:40 | I. Belmarsh      | finding.closed | finding=@cap how="pulled up with a new seal, looked at by S. Oduwale"
14:50 | M. Trevanick     | step.done | step=PUNCH second="S. Oduwale" paper="PL-103"
        reading="A 1 raised, 1 cleared; B 1 with name and date; C 1"
15:00 | P. Ngata-Lowe    | note.written | text="Tightness test agreed: nitrogen, 5 bar, one side at a time, both in one rope."
15:05 | M. Trevanick     | step.done | step=RV_L:{shell,tube} reading="regulator and relief at 6 bar, whip checks on"
15:15 | M. Trevanick     | step.done | step=TESTZONE_L:{shell,tube} second="D. Wrexholme" reading="energy worked out, 30 m roped"
15:20 | I. Belmarsh      | step.started | step=LEAKTEST:shell
16:20 | I. Belmarsh      | step.done | step=LEAKTEST:shell second="D. Wrexholme"
        reading="N2, 5.0 bar, 30 min; every joint taped and soaped, no bubble; down to 0"
16:22 | M. Trevanick     | step.done | step=TESTZONE_L:{shell,tube} second="D. Wrexholme" reading="rope walked again, nobody inside"
16:25 | I. Belmarsh      | step.started | step=LEAKTEST:tube
17:25 | I. Belmarsh      | step.done | step=LEAKTEST:tube second="D. Wrexholme" reading="N2, 5.0 bar, 30 min; no bubble; down to 0"
17:40 | M. Trevanick     | step.done | step=PCLOSE reading="locks 1-6 off, site clear"
17:50 | M. Trevanick     | step.done | step=HANDOVER second="D. Wrexholme" paper="HC-103"
        reading="blinds 4 in, 4 out; tests T1, T2, T3 with their attempts; tube 9-14 plugged; tubesheet 74.6 mm; B item with its date"

day 19 2027-04-25
# Start-up, cold side first.
06:05 | T. Wray-Estrada  | finding.closed | finding=@strap how="made good on 2027-04-19, measured, looked at by D. Wrexholme"
06:10 | D. Wrexholme     | step.done | step=RELIEF_IN:shell second="P. Ngata-Lowe" reading="seal 4471 whole, walked"
06:12 | D. Wrexholme     | step.done | step=RELIEF_IN:tube second="P. Ngata-Lowe" reading="seal 4472 whole, walked"
06:30 | D. Wrexholme     | step.started | step=STARTUP
10:30 | D. Wrexholme     | step.done | step=STARTUP
        reading="kerosene first, vented, 40 degrees an hour at most; no smell, nobody in line with the covers"

day 20 2027-04-26
# Hot check a day later, lagging, scaffold, file.
10:10 | D. Wrexholme     | step.done | step=PERMIT_2 paper="P-2604-1" reading="valid to 18:00"
10:15 | A. Castellane    | note.written |
        text="Hot check: J2 may be gone round once at 615 N.m, no more, if nothing shows on the detector."
10:30 | M. Trevanick     | step.done | step=HOTCHK:{J1,J3,J5,N1,N2,N3,N4} reading="0 ppm all round"
11:10 | I. Belmarsh      | step.done | step=HOTCHK:J2 second="M. Trevanick"
        reading="0 ppm all round; 615 N.m, W1: three nuts moved less than 10 degrees, studs 12, 13 and 30"
13:30 | M. Trevanick     | step.done | step=INSUL reading="boxes on, joints last"
17:00 | M. Trevanick     | step.done | step=SCAFF reading="down, site clean"
17:20 | M. Trevanick     | step.done | step=PCLOSE_2
17:45 | T. Wray-Estrada  | step.done | step=FILE paper="F-103"
        note="next time: two lamps on the floating tubesheet before it is called clean; wrench by number, not by hook"
