"""Labels as different merchants print them: abbreviations, word order, slips, capitals, codes, brackets, units.

Common practice: collected forms, no source to cite. A line: point and what the label says of the tape, a colon, the
labels between semicolons. `*` stands for a label that must give none of our points.
"""

from __future__ import annotations

from collections.abc import Iterator

ENGLISH = """
waist: WST RELAXED; Waist @ top edge of WB; Waistband (along top edge, buttoned); Waist seam; A/ Waist
waist: POM 1: Waist Relaxed; WAIST (INSIDE WB); waist_relaxed_cm; Waist [in]; Waistline (inches)
waist flat: Waist 1/2; Waist - half; Waist (side to side); Waist x2; Waist width laid flat; WAIST FLAT (CM)
waist flat: Waist, straight across flat; Waistband - laying flat; Waist (flat, doubled for full)
waist round: Waist (all the way round); Waist circ. (in); Waist Circum; Total waist circumference
waist round: Waist - full circumference; Waist 360
hip: Hip 7" below WB; Low Hip 8in below waist; HIP @ 20CM BELOW WAISTBAND; Hip (3" above crotch)
hip: Seat (at base of zip); Hip measured at widest point; Hip - at yoke seam; hip line; Full hip; HIPS (cm)
hip: Hip, 3 point measure
hip flat: Hips - flat, edge to edge; 1/2 Hip 9" below top edge; Hip 4 in above crotch, laid flat; Half-hip
hip flat: Hip across (cm)
hip round: Hip (full); Hip circ @ 8" below; Hips all around; Total Hip
thigh: Thigh @ crotch; THIGH 1 IN BELOW CROTCH; Thigh 2cm below crotch point; Upper thigh at crotch line
thigh: Thigh (1" dwn from crotch); Leg at crotch; Thigh just below crotch; TH 1" BLW CR; thigh width
thigh flat: Thigh - half, 1" below crotch; ½ Thigh (2.5cm below crotch); Thigh, flat measure; Thigh width across
thigh round: Thigh girth; Thigh circumference 1" below crotch; Thigh (full)
knee: Knee 14 below crotch; Knee @ 13.5"; KNEE POSITION 13 1/2" FROM CROTCH; Knee (35 cm from crotch)
knee: Knee width at 14"; Knee level 14" below crotch; At knee; kneeline
knee flat: Knee - flat; 1/2 knee width; Knee across @ 13"; half knee (cm)
knee round: Knee circ; Knee (all round); Full knee circumference
leg_opening: Leg Op.; LEG OPNG; Bottom opening; Bottom width; Hem width (leg); Hem @ bottom edge; Leg opening/hem
leg_opening: Leg Opening - Hem; Hem sweep; Cuff opening; Pant hem; Trouser bottom; Bottom leg opening along edge; L/O
leg_opening: Bttm opening
leg_opening flat: Hem 1/2; Leg opening, half; Leg opening flat (in); Leg open. flat; Hem - edge to edge; 1/2 bottom
waist: WB rlx; Wst rlx; WB opening - relaxed; WAIST-RLX; Top of WB; Waist rlx (straight)
waist flat: 1/2 WB
waist round: Ttl waist
thigh: Thigh @ crtch; Thigh 1" bc
knee: Knee @ 14" BC
knee: Knee (halfway); Knee @ 1/2 inseam; KNEE (1/2 INSEAM - 2"); Knee midway between crotch and hem; Mid-leg knee
knee: Knieweite auf halber Höhe; Genou à mi-jambe; Rodilla a media pierna; Ginocchio a metà gamba; Knie halverwege
knee flat: 1/2 knee at 1/2 inseam less 5 cm; Knee flat, half way down
leg_opening: Btm opg; BTM opn; Hem opg
front_rise: Front rise, WB included
leg_opening flat: Opening (flat)
leg_opening round: Leg opening circ.; Hem (full circumference); Bottom Sweep circumference
front_rise: Frt Rise; FR. RISE; F.Rise; F Rise (cm); Front rise inc WB; FRONT RISE (INCL WAISTBAND); Rise (front)
front_rise: Rise, Frt; Front rise to top of WB; Front crotch seam; Rise from crotch to waistband
front_rise: Front Rise, along curve; Rise front incl. band; Front rise excl. w/b; Rise to bottom of waistband
front_rise: Frnt rise; Front rise - waistband included
back_rise: B. Rise; B Rise; Bk Rise; BCK RISE; Back rise inc. WB; Rise (back); Rise, back (incl. waistband)
back_rise: Back rise (crotch to top of WB); Back crotch seam; Rear rise (cm); 12 - Bk rise; Back rise w/o waistband
back_rise: Bk. Rise along curve; B .   R I S E
inseam: In-seam; INSEAM (REG); Inside leg (crotch to hem); Inner leg seam; Inside leg length (cm)
inseam: Inseam - crotch pt to hem; Inleg seam; Inseams; Leg inside; Inner seam length; Inseam/Inside leg
outseam: Out-seam; Outside leg incl WB; Side seam incl. waistband; Side seam (excl. WB); Outseam, waistband to hem
outseam: Total length (waist to hem); Outer leg; Full length of trousers; Outside seam length; Side seam to hem
outseam: Outseam to hem
"""

GERMAN = """
waist: Bundw.; BUND WEITE; Bund (oben); Bundweite ungedehnt; Taillenw.; Weite im Bund; Taille / Bund; Bundweite (cm)
waist: Taillenweite oben; A Bundweite; 1. Bund; Hosenbund
waist flat: Bund ½; 1/2 Taillenumfang; halber Bundumfang; Bundweite (einfach); Bundweite liegend gemessen; Bund flach
waist flat: Bundw. halb; Bundweite - halbe
waist round: Bundumf.; Taillenumfang (cm); Bund rundum; Bundweite gesamt; Umfang Taille; Bundumfang innen
hip: Hüftw.; HUEFTWEITE; Gesäßw.; Gesäss; Hüfte 20 cm unter Bund; Hüftweite (20cm ab Oberkante); Weite Hüfte
hip: Sitzweite; Gesäß (stärkste Stelle); Hüfte/Gesäß
hip flat: ½ Hüftumfang; halbe Hüftw.; Hüfte einfach gemessen; Gesäßweite flach liegend
hip round: Hüftumf.; Gesäßumfang; Hüfte rundum; Umfang Hüfte (cm)
thigh: Oberschenkelw.; Oberschenk.; OBERSCHENKEL (cm); Schenkelw.; Oberschenkel im Schritt; Beinweite Oberschenkel
thigh: Oberschenkelweite 2 cm unter Schritt; Oberschenkel direkt unter Schritt; Weite Oberschenkel
thigh flat: ½ Oberschenkel; Oberschenkelweite halb; halber Oberschenkelumfang; Oberschenkel flach gemessen
thigh round: Oberschenkelumf.; Oberschenkel rundum; Umfang Oberschenkel; Schenkelumfang
knee: Kniew.; Knie; Weite Knie; Knieweite (35 cm unter Schritt); Knie-Weite
knee flat: ½ Knie; halbe Knieweite; Kniew. halb; Knie flach
knee round: Knieumf.; Knie rundum; Umfang Knie
leg_opening: Saumw.; Fußw.; FUSSWEITE; Beinöffnung unten; Saum (unten); Beinweite Saum; Hosensaum; Weite am Saum
leg_opening: Fussweite (cm); Beinabschluss; Saumweite unten; Saum-Weite
leg_opening flat: ½ Saum; halbe Fußw.; Saumweite einfach; Fußweite flach gemessen; Saumbreite halb
leg_opening round: Saumumf.; Saumumfang; Fußweite rundum; Beinöffnung Umfang
front_rise: Leibh. vorn; Leibhöhe VT; Leibhöhe VT inkl. Bund; vord. Leibhöhe; Leibhöhe vorne m. Bund
front_rise: Leibhöhe vorne (inkl. Bund); Leibhöhe vorn exkl. Bund; Vordere Schrittnaht; Leibhöhe Vorderteil
front_rise: Leibhöhe Vorderhose; Schrittnaht vorne; vorne Leibhöhe ohne Bund; Leibhöhe (vorne); LEIBHOEHE VORN
back_rise: Leibh. hinten; Leibhöhe RT; Leibhöhe HT; hint. Leibhöhe; Leibhöhe Rückenteil; Leibhöhe Hinterhose
back_rise: Hintere Schrittnaht; Schrittnaht hinten; Leibhöhe hinten einschl. Bund; Leibhöhe (hinten)
back_rise: Leibhöhe Rückteil mit Bund
inseam: Innenbeinl.; Innenb. Länge; Schrittl.; Innenlänge; Beinlänge (innen); Innennaht; Länge innen; INNENBEINLAENGE
inseam: Bein innen; Länge Innenbein; Innere Beinlänge; Innenbeinlänge vom Schritt bis Saum; Schrittlänge (cm)
outseam: Seitenl.; Außenbeinl.; Seitenlänge inkl. Bund; Seitenlänge ohne Bund; Gesamtl.; Länge außen; Aussenbeinlänge
outseam: AUSSENLÄNGE; Seitennaht (mit Bund); Seitliche Länge; Gesamtlänge mit Bund; Bein außen
"""

FRENCH = """
waist: Taille (ceinture); Ceinture (haut); Taille au repos; CEINTURE; Taille haut de ceinture; A. Ceinture; Ceint.
waist: Haut de ceinture
waist flat: 1/2 tour de taille; ½ taille; Demi-tour de taille; Larg. taille; Largeur de ceinture à plat
waist flat: Taille à plat (cm); Demi ceinture; 1/2 ceinture; Largeur ceinture
waist round: Tour de taille (cm); Tour ceinture; T. taille tour; Circ. taille; Circonférence de la ceinture
waist round: Taille (tour complet)
hip: Hanches; Bassin (20 cm sous ceinture); Bassin au plus fort; Hanches à 18 cm de la taille; HANCHES
hip flat: 1/2 tour de hanches; ½ bassin; Larg. hanches; Demi tour de bassin; Bassin à plat; Hanches (à plat)
hip round: Tour de bassin; Tour hanches; Circonférence bassin; Tour de hanches (cm)
thigh: Cuisse (2,5 cm sous fourche); Cuisse à 2 cm de l'entrejambe; Haut de cuisse; Cuisse sous l'entrejambe; CUISSE
thigh flat: 1/2 tour de cuisse; ½ cuisse; Larg. cuisse; Largeur de cuisse à 2,5 cm sous l'entrejambe; Demi cuisse
thigh flat: Cuisse à plat
thigh round: Tour de cuisse; Tour cuisse; Circ. cuisse
knee: Genou; Genou (à 35 cm de l'entrejambe); Au genou
knee flat: 1/2 tour de genou; ½ genou; Largeur au genou; Genou à plat; Larg. genou
knee round: Tour de genou; Circonférence genou
leg_opening: Bas; Ouverture du bas; Bas de pantalon; Bas de jambe; Ouverture de jambe; Ourlet; BAS DE JAMBE
leg_opening flat: 1/2 bas; ½ bas de jambe; Larg. bas; Largeur du bas; Largeur bas de jambe à plat; Bas à plat
leg_opening flat: Demi-bas; 1/2 tour de bas de jambe
leg_opening round: Tour de bas; Tour bas de jambe; Circ. bas de jambe
front_rise: Montant dev.; Montant devant (ceinture comprise); Enfourchure devant avec ceinture; Fourche avant
front_rise: Montant devant hors ceinture; Montant; Hauteur fourche devant; Hauteur d'entrejambe devant (avec ceinture)
front_rise: MONTANT DEVANT; Enfourchure av.; Montant avant incl. ceinture
back_rise: Montant dos; Montant arr.; Enfourchure dos (ceinture incluse); Fourche arrière; Montant dos sans ceinture
back_rise: Enfourchure arrière; Hauteur fourche dos; Montant derrière
inseam: Entrejambe; Entre-jambe; Entrejambes; Long. entrejambe; Longueur intérieure; Longueur intérieur jambe
inseam: Int. jambe; Couture intérieure; Longueur d'entrejambe; Intérieur de jambe; ENTREJAMBE (CM)
outseam: Long. côté; Longueur extérieure; Longueur totale; Côté; Couture de côté; Longueur côté ceinture comprise
outseam: Long. totale; Ext. jambe; Extérieur jambe; Longueur côté sans ceinture; Longueur totale avec ceinture
"""

SPANISH = """
waist: Cintura; CINTURA (CM); Pretina; Cintura relajada; Cintura (pretina); A - Cintura; Cintura sin estirar
waist flat: 1/2 cintura; ½ contorno de cintura; Media cintura; Medio contorno cintura; Ancho de cintura
waist flat: Cintura (mitad); Ancho cint.; Cintura en plano; Cintura plano; 1/2 pretina
waist round: Contorno de cintura; Cont. cintura; Circunferencia cintura; Cintura total; Cintura (contorno completo)
hip: Cadera; Cadera a 20 cm de cintura; CADERA; Cadera baja; Cadera (parte más ancha); Asiento
hip flat: Media cadera; 1/2 cadera; ½ cadera; Ancho de cadera; Cadera en plano; Medio contorno de cadera
hip round: Contorno cadera; Cont. de cadera; Cadera total; Circunferencia de cadera
thigh: Muslo; Muslo a 2,5 cm del tiro; Muslo 2 cm bajo el tiro; Muslo (a la altura del tiro); MUSLO
thigh flat: ½ muslo; 1/2 muslo a 2,5 cm del tiro; Ancho de muslo; Medio muslo; Muslo (medio); Muslo (en plano)
thigh flat: Ancho muslo a 2,5 cm del tiro
thigh round: Contorno muslo; Contorno de muslo; Perímetro muslo
knee: Rodilla; Rodilla a 35 cm del tiro; RODILLA (cm)
knee flat: 1/2 rodilla; Media rodilla; Ancho de rodilla; Rodilla en plano
knee round: Contorno de rodilla; Contorno rodilla
leg_opening: Bajo; Bajos; Boca de pierna; Botapié; Bota; Ruedo; Abertura de pierna; Dobladillo; Boca pierna
leg_opening flat: 1/2 bajo; Medio bajo; Ancho de bajo; Ancho del bajo; Ancho bota; Ancho de ruedo; Bajo en plano
leg_opening flat: Ancho dobladillo
leg_opening round: Contorno de bajo; Contorno del bajo; Contorno ruedo
front_rise: Tiro del.; Tiro del. (incl. pretina); Tiro delantero con pretina; Tiro delantero (sin pretina)
front_rise: Tiro frontal; Tiro delant.; Tiro frente; Alto de tiro delantero; TIRO DELANTERO; Tiro
front_rise: Largo de tiro delantero; Tiro adelante
back_rise: Tiro tras.; Tiro trasero (con pretina); Tiro posterior; Tiro espalda; Tiro trasero sin cinturilla
back_rise: Tiro atrás; Largo tiro trasero; Tiro detrás
inseam: Entrepierna; Largo de entrepierna; Largo interior; Interior pierna; Largo int.; Largo entrepierna (cm)
inseam: Costura interior; Pierna interior; Entrepiernas; Largo interno
outseam: Largo exterior; Largo lateral; Costado; Largo total; Largo total con pretina; Largo ext.; Largo costado
outseam: Costura lateral; Largo cintura a bajo; Lateral; Largo por el costado
"""

ITALIAN = """
waist: Vita; VITA (CM); Cintura; Vita a riposo; Vita (rilassata); Punto vita; A) Vita; Cinturino
waist flat: 1/2 vita; ½ giro vita; Mezza vita; Metà vita; Larghezza vita; Largh. vita; Vita in piano; Vita (metà)
waist flat: Semi giro vita; Cintura in piano
waist round: Giro vita; Girovita; Circ. vita; Circonferenza vita; Giro cintura; Vita (giro intero)
hip: Fianchi; Bacino; Fianchi a 20 cm dalla vita; BACINO; Bacino (punto più largo)
hip flat: 1/2 bacino; ½ fianchi; Mezzo bacino; Larghezza fianchi; Largh. bacino; Bacino in piano; Mezzo giro fianchi
hip round: Giro fianchi; Giro bacino; Circonferenza fianchi; Circ. bacino
thigh: Coscia; Coscia a 2,5 cm dal cavallo; Coscia sotto cavallo; COSCIA
thigh flat: 1/2 coscia; ½ coscia; Mezza coscia; Larghezza coscia; Largh. coscia; Coscia in piano; Metà coscia
thigh round: Giro coscia; Circ. coscia; Circonferenza coscia
knee: Ginocchio; Ginocchio a 35 cm dal cavallo
knee flat: 1/2 ginocchio; Mezzo ginocchio; Larghezza ginocchio; Ginocchio in piano; Largh. ginocchio
knee round: Giro ginocchio; Circonferenza ginocchio
leg_opening: Fondo; Fondo gamba; Orlo; Apertura fondo; Fondo pantalone; FONDO
leg_opening flat: 1/2 fondo; Mezzo fondo; Larghezza fondo; Largh. fondo; Fondo in piano; Larghezza orlo
leg_opening flat: Metà fondo gamba
leg_opening round: Giro fondo; Circonferenza fondo; Giro orlo
front_rise: Cav. davanti; Cavallo dav.; Cav. davanti (cintura compresa); Cavallo davanti con cintura
front_rise: Cavallo davanti senza cintura; Cavallo ant.; Altezza cavallo davanti; Cavallo anteriore (cintura esclusa)
front_rise: CAVALLO DAVANTI; Giro cavallo davanti
back_rise: Cav. dietro; Cavallo diet.; Cavallo dietro (con cintura); Cavallo post.; Altezza cavallo dietro
back_rise: Cavallo dietro incl. cintura; Giro cavallo dietro
inseam: Interno gamba; Int. gamba; Lungh. interno gamba; Lungh. interna; Lunghezza interna gamba; Gamba interna
inseam: Interno gamba (cm); Cucitura interna
outseam: Esterno gamba; Est. gamba; Lungh. esterna; Lunghezza fianco; Lunghezza totale; Lungh. totale con cintura
outseam: Lunghezza esterna; Lunghezza esterno gamba; Cucitura laterale; Lunghezza laterale
"""

PORTUGUESE = """
waist: Cintura; Cós; CINTURA (cm); Cintura relaxada; Cós (repouso); A. Cintura
waist flat: 1/2 cintura; ½ cintura; Meia cintura; Largura da cintura; Larg. cintura; Cintura em plano; Largura do cós
waist flat: Meio cós; Cintura (metade)
waist round: Contorno da cintura; Circunferência da cintura; Perímetro cintura; Cintura total
hip: Quadril; Anca; Ancas; Quadril a 20 cm da cintura; QUADRIL
hip flat: 1/2 quadril; Meio quadril; Largura do quadril; Larg. anca; Quadril em plano; Meia anca
hip round: Contorno do quadril; Circunferência quadril; Perímetro da anca
thigh: Coxa; Coxa a 2,5 cm do gancho; Coxa abaixo do gancho; COXA
thigh flat: 1/2 coxa; Meia coxa; Largura da coxa; Larg. coxa; Coxa em plano; ½ coxa
thigh round: Contorno da coxa; Circ. coxa; Perímetro coxa
knee: Joelho; Joelho a 35 cm do gancho
knee flat: 1/2 joelho; Meio joelho; Largura do joelho; Joelho em plano; Larg. joelho
knee round: Contorno do joelho; Perímetro joelho
leg_opening: Barra; Boca; Bainha; Boca da perna; Abertura da barra; Boca da calça; BARRA; Abertura da perna
leg_opening flat: 1/2 barra; Meia boca; Largura da barra; Larg. boca; Largura da bainha; Barra em plano; Meia barra
leg_opening round: Contorno da barra; Circunferência da boca; Perímetro da bainha
front_rise: Gancho frente; Gancho fr.; Gancho diant.; Gancho dianteiro (c/ cós); Gancho frente s/ cós
front_rise: Gancho da frente com cós; Altura gancho frente; Cavalo frente; GANCHO FRENTE; Gancho frontal
back_rise: Gancho costas; Gancho tras.; Gancho traseiro (c/ cós); Gancho de trás; Gancho costas sem cós; Cavalo costas
back_rise: Altura gancho costas
inseam: Entrepernas; Entre pernas; Comprimento interno; Comp. interno; Comprimento interior da perna; Interno da perna
inseam: Entreperna (cm); Costura interna; Comp. entrepernas
outseam: Comprimento lateral; Comp. lateral; Comprimento externo; Comprimento total; Altura da cintura à bainha
outseam: Lateral; Comprimento total com cós; Comp. total; Costura lateral; Comprimento da cintura até a barra
"""

DUTCH = """
waist: Taille; Taillewijdte; Tailleband; Taillew.; Taille (ontspannen); Broekband; Bandwijdte; TAILLE (cm); A. Taille
waist: Taillewijdte boven
waist flat: 1/2 taille; ½ tailleband; Halve taille; Taille plat; Taillebreedte; Halve band; Tailleband plat gemeten
waist flat: 1/2 band
waist round: Tailleomtrek; Taille rondom; Omtrek taille; Tailleomvang; Taille (hele omtrek)
hip: Heup; Heupwijdte; Heupw.; Zitvlak; Heupen; Heup 20 cm onder band; Heup (breedste punt); Zitwijdte
hip flat: 1/2 heup; Halve heup; Heupbreedte; Heup plat; Halve heupwijdte
hip round: Heupomtrek; Omtrek heup; Heup rondom
thigh: Dij; Dijwijdte; Bovenbeen; Bovenbeenwijdte; Dij 2,5 cm onder kruis; Dijw.; Bovenbeen direct onder kruis
thigh flat: 1/2 dij; Halve dij; Dij plat; Dijbreedte; Bovenbeen halve
thigh round: Dijomtrek; Omtrek bovenbeen; Dij rondom
knee: Kniewijdte; Knie; Kniew.; Knie 35 cm onder kruis
knee flat: 1/2 knie; Halve knie; Kniebreedte; Knie plat gemeten
knee round: Knieomtrek; Omtrek knie; Knie rondom
leg_opening: Zoom; Zoomwijdte; Pijpwijdte; Onderkant pijp; Beenopening; Pijpopening; Zoomw.; Wijdte onderkant pijp
leg_opening: Pijp onderaan
leg_opening flat: 1/2 zoom; Halve zoom; Zoombreedte; Pijpbreedte onder; Zoom plat; 1/2 pijpwijdte
leg_opening round: Zoomomtrek; Omtrek zoom; Pijpomtrek
front_rise: Voorkruis; Kruis voor; Kruishoogte voor; Kruish. voor; Voorkruis incl. band; Voorkruis met band
front_rise: Kruishoogte voor excl. band; Kruishoogte; Kruis voorkant; Voorkruislengte; Kruishoogte voor (zonder band)
back_rise: Achterkruis; Kruis achter; Kruishoogte achter; Kruish. achter; Achterkruis incl. tailleband
back_rise: Kruis achterkant; Zitkruis; Achterkruis zonder band
inseam: Binnenbeen; Binnenbeenlengte; Binnenbeenl.; Binnenlengte; Beenlengte binnen; Beenlengte (binnenkant)
inseam: Binnennaad; Lengte binnenbeen; Binnenbeennaad
outseam: Buitenbeen; Buitenbeenlengte; Zijlengte; Zijnaad; Zijlengte incl. band; Totale lengte; Lengte zijnaad
outseam: Buitenlengte; Zijlengte zonder band; Beenlengte (buitenkant)
"""

POLISH = """
waist: Pas; Talia; W pasie; Pas (luźno); PAS (cm); A. Pas; Linia pasa; Pas bez rozciągania
waist flat: 1/2 pasa; ½ pasa; Szer. pasa; Szer. w pasie; Szerokość w pasie; Pół pasa; Pas (połowa); Pas na płasko
waist flat: Połowa pasa; 1/2 obwodu pasa; Pas (szerokość)
waist round: Obw. pasa; Obwód pasa; Obwód w pasie; Pas (całość); Obwód talii; Pas (obwód)
hip: Biodra; W biodrach; Biodra 20 cm poniżej pasa; BIODRA
hip flat: 1/2 bioder; Szer. bioder; Szerokość w biodrach; Pół bioder; Biodra na płasko; 1/2 obwodu bioder
hip round: Obw. bioder; Obwód bioder; Obwód w biodrach; Biodra (całość)
thigh: Udo; W udzie; Udo 2,5 cm poniżej kroku; UDO
thigh flat: 1/2 uda; Szer. uda; Szerokość uda; Szerokość w udzie; Pół uda; Udo na płasko; Szerokość nogawki w udzie
thigh flat: 1/2 obwodu uda
thigh round: Obw. uda; Obwód uda; Obwód w udzie; Udo (obwód)
knee: Kolano; W kolanie; Kolano 35 cm od kroku
knee flat: 1/2 kolana; Szer. w kolanie; Szerokość nogawki w kolanie; Kolano na płasko; Pół kolana
knee round: Obw. kolana; Obwód w kolanie
leg_opening: Dół nogawki; Nogawka dół; Otwarcie nogawki; Wylot nogawki; Nogawka na dole; Otwór nogawki; DÓŁ NOGAWKI
leg_opening flat: 1/2 dołu nogawki; Szer. nogawki na dole; Szerokość dołu; Szerokość nogawki dołem
leg_opening flat: Dół nogawki na płasko; Szer. dołu nogawki; Szerokość wylotu nogawki
leg_opening round: Obw. nogawki na dole; Obwód dołu nogawki; Obwód nogawki dołem
front_rise: Stan przód; Stan z przodu; Wys. stanu przód; Wysokość stanu przód; Stan przód z paskiem
front_rise: Stan przód (bez paska); Przód stan; STAN PRZÓD; Wysokość stanu (przód); Stan przedni
back_rise: Stan tył; Stan z tyłu; Wys. stanu tył; Wysokość stanu tył; Stan tył z paskiem; Stan tylny; Tył stan
back_rise: Wysokość stanu (tył)
inseam: Dł. wewnętrzna; Dł. nogawki wewn.; Długość wewnętrzna nogawki; Długość po wewnętrznym szwie
inseam: Nogawka wewnętrzna; Wewn. długość nogawki; Długość wewnętrzna; Szew wewnętrzny; Długość nogawki od kroku
inseam: Dł. wewn.
outseam: Dł. zewnętrzna; Dł. nogawki zewn.; Długość zewnętrzna; Długość całkowita; Długość po zewnętrznym szwie
outseam: Dł. całk.; Długość boczna; Długość całkowita z paskiem; Zewn. długość nogawki; Szew boczny
"""

SWEDISH = """
waist: Midja; Midjevidd; Linning; Midjemått; MIDJA (cm); Midja (avslappnad); Linningsvidd
waist flat: 1/2 midja; ½ midjevidd; Halv midja; Midjebredd; Midja plant; Midja (halv); Halva midjan; Midja mätt plant
waist round: Midjeomkrets; Midja runt om; Omkrets midja; Midja (omkrets); Midja hela omkretsen
hip: Höft; Höftvidd; Stuss; Stussvidd; Höft 20 cm under midja; Höfter
hip flat: 1/2 höft; Halv höft; Höftbredd; Höft plant; Halv stussvidd
hip round: Höftomkrets; Omkrets höft; Höft runt om
thigh: Lår; Lårvidd; Överlår; Lår 2,5 cm under gren; LÅR
thigh flat: 1/2 lår; Halvt lår; Lårbredd; Lår plant; Halv lårvidd
thigh round: Låromkrets; Omkrets lår; Lår (omkrets)
knee: Knä; Knävidd; Knä 35 cm under gren
knee flat: 1/2 knä; Halvt knä; Knäbredd; Halv knävidd
knee round: Knäomkrets; Omkrets knä
leg_opening: Benslut; Fotvidd; Benvidd nertill; Benöppning; Fåll; Fållvidd; Benvidd nedtill; Nederkant
leg_opening flat: 1/2 benslut; Benbredd nertill; Fållbredd; Benslut plant; Halv fotvidd
leg_opening round: Omkrets benslut; Benslut omkrets; Fåll omkrets
front_rise: Gren fram; Grenhöjd fram; Framgren; Främre gren; Grenhöjd; Grenhöjd fram inkl. linning
front_rise: Gren fram exkl. linning; Grenhöjd (fram); Gren fram med linning
back_rise: Gren bak; Grenhöjd bak; Bakgren; Bakre gren; Grenhöjd bak inkl. linning; Grenhöjd (bak)
back_rise: Gren bak utan linning
inseam: Innerben; Innerbenslängd; Innerbenlängd; Innersöm; Benlängd insida; Innerbensl.; Längd innerben
inseam: Invändig benlängd; Benlängd (insida)
outseam: Ytterben; Ytterbenslängd; Sidlängd; Yttersöm; Benlängd utsida; Total längd; Sidlängd inkl. linning; Sidsöm
outseam: Totallängd; Längd utsida
"""

TURKISH = """
waist: Bel; BEL (cm); Kemer; Bel (gevşek); Bel ölçüsü; Bel hattı; A. Bel
waist flat: 1/2 bel; ½ bel; Yarım bel; Bel eni; Bel genişliği; Bel (yarım); Bel düz; Kemer eni
waist round: Bel çevresi; Bel çevre; Bel (çevre); Kemer çevresi; Bel tam çevre
hip: Kalça; Basen; KALÇA; Basen (20 cm bel altı); Kalça hattı
hip flat: 1/2 basen; Yarım kalça; Basen eni; Kalça genişliği; Basen (yarım)
hip round: Basen çevresi; Kalça çevresi; Basen (çevre)
thigh: Uyluk; Üst bacak; Uyluk (ağdan 2,5 cm aşağı); But
thigh flat: 1/2 uyluk; Yarım uyluk; Uyluk eni; Üst bacak eni
thigh round: Uyluk çevresi; Üst bacak çevresi
knee: Diz; Diz (ağdan 35 cm aşağı)
knee flat: 1/2 diz; Yarım diz; Diz eni; Diz genişliği
knee round: Diz çevresi
leg_opening: Paça; Paça ağzı; Paça ucu; Bacak ağzı; PAÇA
leg_opening flat: 1/2 paça; Yarım paça; Paça eni; Paça genişliği; Paça ağzı eni
leg_opening round: Paça çevresi; Paça ağzı çevresi
front_rise: Ön ağ; Ön ağ yük.; Ön ağ yüksekliği; Ön ağ (kemer dahil); Ön ağ kemersiz; Ön ağ boyu; Ağ (ön); ÖN AĞ
front_rise: Ön ağ kemer hariç
back_rise: Arka ağ; Arka ağ yük.; Arka ağ yüksekliği; Arka ağ (kemer dahil); Arka ağ boyu; Ağ (arka)
back_rise: Arka ağ kemer hariç
inseam: İç boy; İç bacak; İç bacak boyu; İÇ BOY; İç dikiş; İç paça boyu; İç boy (cm); Bacak içi; İç uzunluk
outseam: Dış boy; Yan boy; Yan boy (kemer dahil); Yan dikiş; Toplam boy; Dış bacak boyu; Tam boy; Yan dikiş boyu
outseam: Yan boy kemer hariç
"""

CHINESE = """
waist: 腰; 裤腰; 腰头; 腰部; 裤腰(cm); A 腰; 腰(松量)
waist flat: 1/2腰围; 半腰围; 腰宽; 平量腰宽; 腰围(单面); 腰阔; 裤腰宽; 腰围1/2
waist round: 腰围; 腰围(全); 裤腰围; 腰围一周; 腰围（厘米）; 腰围(松); 腰圍; 全腰围
hip: 臀; 臀部; 臀(腰下18cm)
hip flat: 臀宽; 半臀围; 1/2臀围; 臀阔
hip round: 臀围; 臀围(腰下18厘米); 坐围; 臀圍; 臀部围
thigh: 大腿; 横裆; 大腿根; 大腿(裆下2.5cm)
thigh flat: 大腿宽; 1/2大腿围; 横裆宽; 半腿围; 脾阔
thigh round: 大腿围; 腿围; 横裆围; 大腿根围; 髀围; 比围; 大腿围(裆下2.5cm)
knee: 膝; 膝盖; 中裆; 膝部
knee flat: 膝宽; 1/2膝围; 中裆宽
knee round: 膝围; 中裆围; 膝盖围; 膝圍
leg_opening: 脚口; 裤脚; 裤口; 裤脚口; 裤管口; 下口
leg_opening flat: 脚口宽; 1/2脚口; 裤口宽; 裤脚宽; 脚口(平量); 脚阔
leg_opening round: 脚口围; 裤脚围; 裤口围; 脚围; 脚口一周
front_rise: 前浪; 前档; 前裆; 前浪(连腰); 前浪(不连腰); 前裆长; 前裆(含腰); 前浪长; 前浪弯量; 前浪（包腰头）; 前襠
back_rise: 后浪; 后档; 后裆; 后浪(连腰); 后浪(不含腰); 后裆长; 后裆含腰; 後浪; 后浪弯量
inseam: 内长; 内缝; 内侧长; 下裆长; 内裆长; 裤内长; 内裤长; 內長; 内缝长(cm); 下裆
outseam: 裤长; 外长; 侧缝长; 裤长(连腰); 外侧长; 裤长(含腰头); 褲長; 总长; 裤外长; 侧长
"""

JAPANESE = """
waist: ウエスト; ウェスト; ウエスト(ゴム上がり); ウエスト寸法; Ａ．ウエスト; ウエスト（実寸）; ウエスト[cm]
waist flat: ウエスト幅; ウエスト(平置き); 1/2ウエスト; ウエスト平置き片面; ウエスト（片面）; ウエスト巾; 半ウエスト
waist round: ウエスト周り; ウエスト(一周); 総ウエスト; ウエストまわり; ウエスト周囲; ウエスト全周; 胴囲
hip: ヒップ; お尻; ヒップ寸法
hip flat: ヒップ幅; ヒップ(平置き); 1/2ヒップ; ヒップ巾
hip round: ヒップ周り; ヒップ(一周); ヒップまわり; ヒップ周囲
thigh: わたり; ワタリ; 渡り; もも; 太もも; 腿
thigh flat: わたり幅; ワタリ幅; 渡り幅; もも幅; 太もも幅; わたり巾; 太もも(平置き)
thigh round: もも周り; 太もも周り; わたり周り; 太ももまわり; もも回り; 腿周り
knee: ひざ; 膝
knee flat: ひざ幅; 膝幅; ヒザ幅
knee round: ひざ周り; 膝回り; 膝まわり
leg_opening: 裾; すそ; 裾口
leg_opening flat: 裾幅; すそ幅; 裾口幅; 裾巾; 裾(平置き); スソ幅
leg_opening round: 裾周り; すそ周り; 裾まわり; 裾口周り
front_rise: 股上; 前股上; 股上(前); 前股上(ベルト込み); 股上(ベルト含む); 股上（ベルト除く）; 股上 前; 股上丈
front_rise: 前股上（帯含む）
back_rise: 後股上; 後ろ股上; 股上(後); 後股上(ベルト込み); 股上 後ろ; うしろ股上
inseam: 股下; 股下丈; 股下(丈); 股下の長さ; 股下寸法; また下; 股下（cm）; インシーム
outseam: 総丈; パンツ丈; 脇丈; 総丈(ベルト含む); 全長; 総丈（ベルト込み）; アウトシーム; ズボン丈
"""

KOREAN = """
waist: 허리; 허리(cm); 허리 사이즈
waist flat: 허리단면; 허리 단면; 허리(단면); 허리 반폭
waist round: 허리둘레; 허리 둘레; 허리 (둘레); 허리 전체 둘레
hip: 엉덩이; 힙
hip flat: 엉덩이단면; 엉덩이 단면; 힙(단면); 힙단면
hip round: 엉덩이둘레; 엉덩이 둘레; 힙 둘레
thigh: 허벅지
thigh flat: 허벅지단면; 허벅지 단면; 허벅지(단면)
thigh round: 허벅지둘레; 허벅지 둘레
knee: 무릎
knee flat: 무릎 단면; 무릎단면
knee round: 무릎 둘레; 무릎둘레
leg_opening: 밑단; 바지 밑단; 바지부리
leg_opening flat: 밑단단면; 밑단 단면; 밑단(단면)
leg_opening round: 밑단둘레; 밑단 둘레
front_rise: 밑위; 앞밑위; 밑위(앞); 밑위 길이; 앞밑위(벨트포함); 밑위길이; 앞 밑위 (밴드 제외)
back_rise: 뒷밑위; 뒤밑위; 밑위(뒤); 뒷밑위 길이; 뒤밑위(벨트 포함)
inseam: 인심; 안쪽 기장; 안기장; 밑아래 길이; 인심 길이; 안쪽기장
outseam: 총장; 총기장; 총 기장; 바지 기장; 전체 길이; 총길이; 아웃심; 바지기장
"""

RUSSIAN = """
waist: Талия; Пояс; ТАЛИЯ (см); По поясу
waist flat: Ширина по поясу; Ширина пояса; Полуобхват талии; 1/2 талии; Ширина талии; Талия (ширина)
waist round: Обхват талии; Обхват пояса; Талия (обхват); Обхват по поясу
hip: Бедра; Бёдра; БЕДРА; По бедрам
hip flat: Полуобхват бедер; Ширина по бедрам; Ширина бедер; 1/2 бедер; Ширина в бедрах
hip round: Обхват бедер; Обхват бёдер; Обхват по бедрам
thigh flat: Ширина бедра; Полуобхват бедра; Ширина штанины вверху
knee: Колено
knee flat: Ширина колена; Полуобхват колена; Ширина по колену; Ширина штанины в колене
knee round: Обхват колена
leg_opening: Низ; Низ штанины; Низ брюк
leg_opening flat: Ширина низа; Ширина по низу; Ширина штанины внизу; Ширина низа штанины; Полуобхват низа
leg_opening round: Обхват низа; Обхват низа штанины
front_rise: Посадка; Посадка спереди; Высота посадки спереди; Посадка перед; Передняя посадка
front_rise: Посадка спереди (с поясом); Высота посадки; Посадка спереди без пояса
back_rise: Посадка сзади; Высота посадки сзади; Задняя посадка; Посадка сзади с поясом
inseam: Шаговый шов; Длина по шаговому шву; Внутренний шов; Длина по внутреннему шву; Длина внутреннего шва
inseam: Дл. по внутреннему шву; Длина шагового шва
outseam: Боковой шов; Длина по боковому шву; Длина по внешнему шву; Общая длина; Длина изделия; Длина бокового шва
outseam: Дл. по боковому шву; Наружный шов; Длина брюк
"""


SPACED = """
waist: W A I S T
waist flat: W A I S T - S I D E T O S I D E F L A T
waist round: T O U R D E T A I L L E
hip: H Ü F T W E I T E
hip flat: H I P S ( D O U B L E D = F U L L )
thigh flat: U P P E R T H I G H ( F L A T )
leg_opening flat: B O T T O M O P E N I N G A C R O S S; L A R G H E Z Z A F O N D O
front_rise: R I S E - F R O N T; F R O N T  R I S E
back_rise: B A C K R I S E ( T O T O P O F W B )
inseam: I N - S E A M
*: P O C K E T O P E N I N G; T O T A L R I S E; S L E E V E L E N G T H
"""
"""Letters with blanks between, as some workbooks print headings."""


OTHER_THINGS = """
*: Bust; Chest (pit to pit); Sleeve length from CB neck; Across shoulder; Armhole straight; HPS to hem
*: Body length from HPS; Bicep 1" below armhole; Cuff opening of sleeve; Neck drop front; Collar point; Bust dart
*: Underbust; Cross back; Cap height; Hood opening; Front length; Back length; Sleeve hem; Sleeve opening
*: Bottom band height; Hem allowance; Skirt length; Skirt sweep
*: Skirt hem; Dress length from HPS; Slip length; Slit length; Strap length; Strap drop; Bra band; Bra cup
*: Shoulder to waist; Nape to waist; Shoulder to hip; Waist to hip
*: Waist to knee; Knee to hem; Hip to hem; Hip depth; Hip position from waist; Knee height; Knee to floor
*: Waist to floor; Total crotch; Crotch length; Front to back crotch; Crotch seam total
*: Crotch width; Crotch depth gusset; Seat depth; Pocket opening; Front pocket opening at waist
*: Back pocket placement from waistband; Back pocket width top; Pocket bag depth; Welt pocket width; Coin pocket
*: Cargo pocket to knee; Belt loop spacing
*: Belt length; Drawcord length; Waistband height; Waistband extension; Elastic width; Zip length; Fly width
*: J-stitch width; Yoke at side; Back yoke CB; Dart length; Pleat depth
*: Hem turn up; Cuff height; Fringe length; Side stripe width; Knee patch width; Knee dart; Ankle slit; Calf
*: Calf circumference; Ankle circumference; Mid thigh; Mid-calf
*: Foot length; Heel height; Shaft height; Boot shaft circumference; Insole; Toe box width; Platform; Shoe width
*: Hat circumference; Head; Glove length; Palm width
*: Ring diameter; Bag handle drop; Frame stack; Frame reach; Seat tube; Top tube; Standover height; Saddle height
*: Handlebar width; Wheel base; Chain stay; Head tube angle
*: Table height; Seat height; Seat width; Seat depth; Arm height; Overall width; Overall depth; Overall height
*: Leg height; Table leg; Chair leg width; Shelf depth
*: Mattress thickness; Screen size; Diagonal; Weight; Net weight; Capacity; Volume; Invoice no; Subtotal; VAT
*: Total amount; Balance
*: Interest rate; Rise in prices; Pay rise; Rise time; Rise and run; Stair rise; Tread; Opening hours; Opening balance
*: Opening date; Store opening; Job opening
*: Door opening; Bottom line; Bottom price; Front page; Back issue; Full length mirror; Film length; Password length
*: Cable length; Rope length; Table length; Width
*: Depth; Height; Model height; Waist coat; Waistcoat length; Hip flask; Hip hop; Knee socks; Knee brace
*: Thigh high boots; Leg press; Leg room
*: Leg day; Hemoglobin; Hemisphere; Hem and haw; Waste; Wait; Inning; Outcome; Outset; Inset; Seam allowance
*: Side effects
*: Side table; Side view; Inside pocket; Outside diameter; Inner diameter; Outer diameter; Inside temperature
*: Rising damp
*: Brustweite; Ärmellänge; Schulterbreite; Rückenlänge; Kragenweite; Halsausschnitt; Oberarmweite; Armloch; Rocklänge
*: Kleiderlänge; Saumzugabe; Bundhöhe
*: Bundverlängerung; Hüfttiefe; Kniehöhe; Taschenbreite; Tascheneingriff; Gesäßtaschenbreite; Reißverschlusslänge
*: Gürtelschlaufen; Sattelhöhe; Wadenweite; Schafthöhe; Absatzhöhe
*: Sitzhöhe Stuhl; Tischhöhe; Sitztiefe; Rahmenhöhe; Sattelstütze; Oberrohrlänge; Gesamtbreite; Gesamthöhe; Gewicht
*: Rechnungsnummer; Gesamtbetrag; Bundesland
*: Bundesbank; Saumagen; Kniebeuge; Hüftsteak; Beinfreiheit; Innenraum; Außentemperatur; Schrittgeschwindigkeit
*: Seitenzahl; Öffnungszeiten; Taillenhöhe; Schrittzähler
*: Unterbrustumfang; Kopfumfang; Ringgröße
*: Tour de poitrine; Longueur manche; Carrure; Longueur dos; Encolure; Tour de bras; Longueur robe; Longueur jupe
*: Hauteur ceinture; Hauteur de taille; Hauteur genou; Ouverture poche
*: Largeur poche; Longueur braguette; Hauteur ourlet; Passant; Tour de mollet; Tour de cheville; Hauteur talon
*: Hauteur de tige; Hauteur assise; Profondeur; Montant TTC; Montant total
*: Montant dû; Montant de la facture; Total HT; Bas de page; Heures d'ouverture; Taille mannequin; Taille du fichier
*: Hauteur totale de la table; Entrejambe vélo cadre; Fourche suspendue; Tour de tête; Pointure
*: Contorno de pecho; Largo manga; Ancho hombros; Largo espalda; Contorno brazo; Largo vestido; Largo falda
*: Alto pretina; Alto de rodilla; Boca bolsillo; Ancho bolsillo; Largo cremallera
*: Alto dobladillo; Trabilla; Contorno pantorrilla; Altura tacón; Altura asiento; Profundidad; Altura total
*: Importe total; Tiro libre; Tiro de chimenea; Bota de agua; Bajo consumo
*: Boca de riego; Horario de apertura; Talla modelo; Cadera alta; Tiro total
*: Giro petto; Lunghezza manica; Larghezza spalle; Giro collo; Lunghezza abito; Lunghezza gonna; Altezza cintura
*: Altezza ginocchio; Apertura tasca; Larghezza tasca; Lunghezza patta; Altezza orlo
*: Passante; Giro polpaccio; Altezza tacco; Altezza seduta; Profondità; Altezza totale; Importo totale
*: Orario di apertura; Fondo cassa; Fondo pagina; Vita utile batteria; Bacino idrico
*: Fianco destro moto; Cavallo vapore; Interno auto
*: Contorno do busto; Comprimento da manga; Largura ombros; Comprimento do vestido; Comprimento da saia; Altura do cós
*: Altura do joelho; Abertura do bolso; Comprimento do zíper; Altura da bainha; Altura do salto; Altura do assento
*: Profundidade; Valor total; Barra de ferramentas; Barra de chocolate; Boca do fogão; Gancho de parede
*: Horário de abertura
*: Borstomtrek; Mouwlengte; Schouderbreedte; Ruglengte; Roklengte; Jurklengte; Bandhoogte; Kniehoogte; Zakopening
*: Ritslengte; Zoomhoogte; Kuitomtrek
*: Hakhoogte; Zithoogte; Tafelhoogte; Totaalbedrag; Openingstijden; Bandenspanning; Fietsband; Onderkant tafel
*: Pijpleiding; Zoom meeting; Kruispunt
*: Obwód w biuście; Długość rękawa; Szerokość ramion; Długość sukienki; Długość spódnicy; Wysokość paska
*: Wysokość kolana; Otwór kieszeni; Długość zamka; Wysokość podwinięcia; Obwód łydki; Wysokość obcasa
*: Wysokość siedziska; Głębokość szafki; Suma; Godziny otwarcia; Stan magazynowy; Stan konta; Stan techniczny
*: Pas ruchu; Dół strony; Obwód szyi; Długość wkładki
*: Byst; Ärmlängd; Axelbredd; Rygglängd; Kjollängd; Klänningslängd; Linningshöjd; Knähöjd; Ficköppning; Gylflängd
*: Fållhöjd; Vadvidd
*: Klackhöjd; Sitthöjd; Bordshöjd; Totalbelopp; Öppettider; Grenuttag; Skaftvidd
*: Göğüs; Kol boyu; Omuz genişliği; Elbise boyu; Etek boyu; Kemer yüksekliği; Diz yüksekliği; Cep ağzı; Fermuar boyu
*: Paça kıvırma; Baldır çevresi; Topuk boyu
*: Oturma yüksekliği; Toplam tutar; Açılış saatleri; Ağ bağlantısı; Kemer köprüsü
*: 胸围; 袖长; 肩宽; 衣长; 裙长; 领围; 袖口; 臂围; 腰高; 袋口; 拉链长; 门襟长
*: 脚口高; 小腿围; 跟高; 筒高; 桌高; 座高; 总价; 合计; 直径; 前胸宽; 后背宽; 腰带长
*: 裙腰; 头围; 下胸围; 总裆; 全裆长; 机头高; 膝高; 门幅; 裤耳长
*: バスト; 袖丈; 肩幅; 着丈; 身幅; 裄丈; スカート丈; ワンピース丈; ベルト幅; 膝高; ポケット口; ファスナー丈
*: 裾上げ幅; ふくらはぎ周り; ヒール高; 筒丈; 座面高; 奥行き; 合計金額; 直径; 頭囲; 首回り; 股ぐり; アームホール
*: 袖幅; ヨーク幅; ダーツ長さ
*: 가슴둘레; 소매길이; 어깨너비; 치마 길이; 원피스 총장; 벨트 폭; 주머니; 지퍼 길이; 굽 높이; 합계; 머리둘레; 암홀
*: 소매단면
*: Обхват груди; Длина рукава; Ширина плеч; Длина юбки; Длина платья; Высота пояса; Высота колена; Карман
*: Длина молнии; Высота каблука; Итого; Обхват икры
*: Обхват шеи; Длина по спинке; Высота сиденья; Ширина рукава; Глубина кармана
"""
"""Tops, dresses, skirts, shoes, furniture, bicycles, papers: none gives one of our points, as a label or in a line."""


def read_table(table: str) -> Iterator[tuple[str, str, str]]:
    """(label, point, convention) of every label of a table."""
    for line in table.strip().splitlines():
        head, labels = line.split(": ", 1)
        point, _, convention = head.partition(" ")
        for label in labels.split("; "):
            yield label, point, convention
