"""Labels as sheets print them, by language, with the point they name and the convention they say.

Common practice: collected forms, no source to cite. A line: label | point or !thing | flat, round or empty.
"""

from __future__ import annotations

ENGLISH = """
Front Rise | front_rise
FRONT RISE (IN) | front_rise
FRT RISE | front_rise
Frt. Rise | front_rise
Fr Rise | front_rise
F/Rise | front_rise
F. Rise | front_rise
Ft Rise | front_rise
Rise - Front | front_rise
Rise, front | front_rise
Rise (front) | front_rise
Rise | front_rise
rise length | front_rise
Front Crotch | front_rise
Front Crotch Length | front_rise
Front rise¹ | front_rise
Leg opening ⁴ᵃ | leg_opening
Waist (relaxed)² | waist
Front rise (crotch to top of waistband) | front_rise
Front rise from crotch seam to top edge of waistband | front_rise
From crotch seam to top of waistband at center front | front_rise
CF Rise | front_rise
Front Rise Incl. WB | front_rise
Front rise below waistband | front_rise
FR | front_rise
F/R | front_rise
front_rise_in | front_rise
frontRise | front_rise
Back Rise | back_rise
BK RISE | back_rise
Bk. Rise | back_rise
B/Rise | back_rise
Rear rise | back_rise
Rise - Back | back_rise
Rise (back) | back_rise
CB Rise | back_rise
BACK RISE ABOVE WAISTBAND | back_rise
Back Crotch | back_rise
Back rise along curve | back_rise
BR | back_rise
Inseam | inseam
INSEAM LENGTH | inseam
In-seam | inseam
Inside Leg | inseam
Inside Leg Length | inseam
INSIDE LEG SEAM | inseam
Inner leg | inseam
Inner Seam | inseam
Inleg | inseam
Leg inseam | inseam
Leg length inside | inseam
Inseam Length (Regular) | inseam
Inseam - Petite | inseam
Inseam (crotch to hem) | inseam
Crotch to hem | inseam
Inside leg from crotch | inseam
Inseam, regular | inseam
Inseem | inseam
Inseam (inches) | inseam
INS | inseam
I/S | inseam
Outseam | outseam
OUTSEAM (INCL. WAISTBAND) | outseam
Out seam | outseam
Outside leg | outseam
Outer leg length | outseam
Side seam | outseam
Side seam length | outseam
Side Length | outseam
Side length from waist to hem | outseam
Total length | outseam
Full Length | outseam
Overall length | outseam
Length from waist to hem at side seam | outseam
Waist to hem (side) | outseam
Waistband to hem | outseam
Outseam - top of waistband to hem | outseam
O/S | outseam
Waist | waist
WAIST | waist
Waist (relaxed) | waist
Waist Relaxed | waist
Waist - relaxed, flat | waist | flat
Waist flat | waist | flat
Waist circumference | waist | round
Waist (full circumference) | waist | round
Waist, all around | waist | round
1/2 Waist | waist | flat
½ waist | waist | flat
Half waist | waist | flat
Waist across | waist | flat
Waist (laid flat) | waist | flat
Waist laying flat | waist | flat
Waist straight across | waist | flat
Waist edge to edge | waist | flat
Waistband | waist
Waistband (along top edge) | waist
Waist at top edge | waist
Top of waistband | waist
Waist opening | waist
Waist width | waist
Waist Measurement | waist
Waistline | waist
Waist stretched | waist
W/B | waist
Waist (inside waistband) | waist
Waistband length | waist
Waist on top of band, relaxed | waist
Waist - elastic relaxed | waist
Hip | hip
Hips | hip
HIP (8" BELOW WAIST) | hip
Hip 3" above crotch | hip
Low hip | hip
Lower hip | hip
Seat | hip
Hip/Seat | hip
Hip width | hip
Hip circumference | hip | round
Hip at widest point | hip
Hips (fullest part) | hip
Hip to hip | hip | flat
1/2 hip | hip | flat
Hip, 7.5" down from waist | hip
Hip 3-pt | hip
Hip measured at base of zip | hip
Hip from side seam to side seam | hip | flat
Thigh | thigh
THGH | thigh
Upper thigh | thigh
Thigh (1" below crotch) | thigh
Thigh @ 1" below crotch | thigh
Thigh - 1 inch below crotch | thigh
THIGH 2.5CM BELOW CROTCH | thigh
Thigh at crotch | thigh
Thigh width | thigh
Thigh circumference | thigh | round
1/2 thigh | thigh | flat
Thigh, flat | thigh | flat
Upper leg | thigh
Thigh just below the crotch | thigh
Thigh from crotch to outside of leg | thigh | flat
Knee | knee
Knee (14" below crotch) | knee
Knee 13 1/2" from crotch | knee
Knee width | knee
Knee circumference | knee | round
1/2 knee | knee | flat
Knee line | knee
Leg at knee | knee
Knee @ 35 cm below crotch | knee
Leg opening | leg_opening
LEG OPNG | leg_opening
Leg Openg. | leg_opening
L.O. | leg_opening
Leg opening circumference | leg_opening | round
1/2 leg opening | leg_opening | flat
Leg opening, flat | leg_opening | flat
Bottom opening | leg_opening
Bottom width | leg_opening
Bottom hem | leg_opening
Hem | leg_opening
Hem width | leg_opening
Hem opening | leg_opening
1/2 Hem width along curve (cm) | leg_opening | flat
Hem sweep | leg_opening
Sweep | leg_opening
Leg bottom | leg_opening
Bottom leg opening | leg_opening
Cuff opening | leg_opening
Cuff width | leg_opening
Leg opening at ankle | leg_opening
Leg opening (hem) | leg_opening
Ankle opening | leg_opening
Trouser bottom width | leg_opening
Width of hem | leg_opening
Pant opening | leg_opening
Hem circumference | leg_opening | round
Boot leg opening | leg_opening
Wide leg opening | leg_opening
Cuffed hem width | leg_opening
Elasticated hem, relaxed | leg_opening
"""

GERMAN = """
Leibhöhe | front_rise
Leibhöhe vorne | front_rise
Vordere Leibhöhe | front_rise
Vorderhose Leibhöhe | front_rise
Leibhöhe vorn inkl. Bund | front_rise
Vordere Leibhöhe ohne Bund | front_rise
Leibhoehe vorne | front_rise
Leibhöhe hinten | back_rise
Hintere Leibhöhe | back_rise
Hintere Schrittnaht | back_rise
Innenbeinlänge | inseam
Innenbeinlaenge | inseam
Innere Beinlänge | inseam
Innenbein | inseam
Schrittlänge | inseam
Beinlänge innen | inseam
Innennaht | inseam
Länge Innenbein | inseam
Innenbeinnaht | inseam
Seitenlänge | outseam
Außenbeinlänge | outseam
Aussenbeinlänge | outseam
Seitennaht | outseam
Seitenlänge inkl. Bund | outseam
Gesamtlänge | outseam
Äußere Beinlänge | outseam
Bund | waist
Bundweite | waist
Bundumfang | waist | round
1/2 Bundweite | waist | flat
halbe Bundweite | waist | flat
Taille | waist
Taillenumfang | waist | round
Taillenweite | waist
Bundweite gedehnt | waist
Bundweite, ungedehnt | waist
Hüfte | hip
Hüftweite | hip
Hüftumfang | hip | round
1/2 Hüfte | hip | flat
halbe Hüftweite | hip | flat
Gesäßumfang | hip | round
Gesäßweite | hip
Hueftumfang | hip | round
Oberschenkel | thigh
Oberschenkelweite | thigh
Oberschenkelumfang | thigh | round
Oberschenkelweite 1 cm unter Schritt | thigh
Oberschenkel (halbe Weite) | thigh | flat
Schenkelweite | thigh
Knie | knee
Knieweite | knee
Knieumfang | knee | round
1/2 Knieweite | knee | flat
Kniehöhe | !part_length
Fußweite | leg_opening
Fussweite | leg_opening
Saumweite | leg_opening
Saum | leg_opening
Saumumfang | leg_opening | round
Beinöffnung | leg_opening
Beinabschluss | leg_opening
Beinweite unten | leg_opening
halbe Fußweite | leg_opening | flat
1/2 Saumweite | leg_opening | flat
Hosenbeinöffnung | leg_opening
Bundhöhe | !waistband_height
Saumhöhe | !hem_height
Saumumschlag | !hem_height
Gesamte Schrittnaht | !total_rise
Brustumfang | !bust
Oberweite | !bust
Schulterbreite | !shoulder
Ärmellänge | !shoulder
Taschenbreite | !pocket
Gesäßtasche Höhe | !pocket
Reißverschlusslänge | !fly
Gürtelschlaufen | !belt_loop
Wadenumfang | !calf
"""

FRENCH = """
Montant devant | front_rise
Hauteur de montant devant | front_rise
Montant avant | front_rise
Fourche devant | front_rise
Enfourchure devant | front_rise
Montant dos | back_rise
Hauteur montant dos | back_rise
Fourche arrière | back_rise
Entrejambe | inseam
Longueur entrejambe | inseam
Entre-jambes | inseam
Longueur d'entrejambe | inseam
Intérieur jambe | inseam
Longueur intérieure de jambe | inseam
Longueur côté | outseam
Longueur totale | outseam
Longueur extérieure jambe | outseam
Tour de taille | waist | round
Taille | waist
Largeur taille | waist | flat
1/2 tour de taille | waist | flat
Demi-tour de taille | waist | flat
Taille à plat | waist | flat
Ceinture | waist
Tour de ceinture | waist | round
Tour de bassin | hip | round
Tour de hanches | hip | round
Hanches | hip
Bassin | hip
Largeur hanches | hip | flat
1/2 bassin | hip | flat
Tour de cuisse | thigh | round
Cuisse | thigh
Largeur cuisse | thigh | flat
Tour de cuisse à 2,5 cm sous l'entrejambe | thigh | round
Tour de genou | knee | round
Genou | knee
Largeur genou | knee | flat
Bas de jambe | leg_opening
Largeur bas de jambe | leg_opening | flat
Tour de bas de jambe | leg_opening | round
Largeur bas | leg_opening | flat
Bas | leg_opening
Ourlet | leg_opening
Ouverture jambe | leg_opening
Hauteur ceinture | !waistband_height
Poche arrière | !pocket
Tour de poitrine | !bust
Longueur manche | !shoulder
Tour de mollet | !calf
Tour de cheville | !ankle
Braguette | !fly
"""

SPANISH = """
Tiro | front_rise
Tiro delantero | front_rise
Tiro frontal | front_rise
Largo de tiro delantero | front_rise
Tiro trasero | back_rise
Tiro posterior | back_rise
Entrepierna | inseam
Largo de entrepierna | inseam
Largo interior | inseam
Largo interior de pierna | inseam
Costura interior | inseam
Largo exterior | outseam
Largo total | outseam
Costado | outseam
Largo lateral | outseam
Cintura | waist
Contorno de cintura | waist | round
Ancho de cintura | waist | flat
Media cintura | waist | flat
Medio contorno de cintura | waist | flat
Cintura (contorno) | waist | round
Cadera | hip
Contorno de cadera | hip | round
Ancho de cadera | hip | flat
Media cadera | hip | flat
Muslo | thigh
Contorno de muslo | thigh | round
Ancho de muslo | thigh | flat
Rodilla | knee
Contorno de rodilla | knee | round
Bajo | leg_opening
Ancho de bajo | leg_opening | flat
Ruedo | leg_opening
Contorno de bajo | leg_opening | round
Botamanga | leg_opening
Bota | leg_opening
Dobladillo | leg_opening
Tiro total | !total_rise
Alto de pretina | !waistband_height
Bolsillo trasero | !pocket
Pecho | !bust
Largo de manga | !shoulder
Cremallera | !fly
"""

ITALIAN = """
Cavallo davanti | front_rise
Altezza cavallo davanti | front_rise
Cavallo anteriore | front_rise
Cavallo dietro | back_rise
Cavallo posteriore | back_rise
Interno gamba | inseam
Cavallo interno | inseam
Lunghezza interno gamba | inseam
Lunghezza gamba interna | inseam
Lunghezza cavallo | inseam
Lunghezza esterna | outseam
Lunghezza totale | outseam
Esterno gamba | outseam
Lunghezza esterno gamba | outseam
Vita | waist
Giro vita | waist | round
Girovita | waist | round
Mezza vita | waist | flat
Larghezza vita | waist | flat
Circonferenza vita | waist | round
Metà vita | waist | flat
Vita in piano | waist | flat
Fianchi | hip
Giro fianchi | hip | round
Bacino | hip
Larghezza fianchi | hip | flat
Circonferenza fianchi | hip | round
Coscia | thigh
Giro coscia | thigh | round
Larghezza coscia | thigh | flat
Ginocchio | knee
Larghezza ginocchio | knee | flat
Fondo gamba | leg_opening
Fondo | leg_opening
Larghezza fondo | leg_opening | flat
Giro fondo gamba | leg_opening | round
Orlo | leg_opening
Altezza cintura | !waistband_height
Altezza orlo | !hem_height
Tasca posteriore | !pocket
Giro seno | !bust
Lunghezza manica | !shoulder
"""

PORTUGUESE = """
Gancho | front_rise
Gancho frente | front_rise
Gancho dianteiro | front_rise
Altura do gancho | front_rise
Gancho costas | back_rise
Gancho traseiro | back_rise
Entrepernas | inseam
Comprimento entrepernas | inseam
Comprimento interno da perna | inseam
Comprimento externo | outseam
Comprimento lateral | outseam
Comprimento total | outseam
Cintura | waist
Contorno da cintura | waist | round
Largura da cintura | waist | flat
Cós | waist
Quadril | hip
Contorno do quadril | hip | round
Anca | hip
Coxa | thigh
Largura da coxa | thigh | flat
Joelho | knee
Boca | leg_opening
Largura da boca | leg_opening | flat
Boca da perna | leg_opening
Bainha | leg_opening
Barra | leg_opening
Altura do cós | !waistband_height
Bolso traseiro | !pocket
Busto | !bust
"""

DUTCH = """
Kruis voor | front_rise
Kruishoogte voor | front_rise
Voorkruis | front_rise
Kruis achter | back_rise
Zitkruis | back_rise
Kruishoogte achter | back_rise
Binnenbeenlengte | inseam
Binnenbeen | inseam
Binnenbeennaad | inseam
Beenlengte binnenkant | inseam
Buitenbeenlengte | outseam
Zijlengte | outseam
Zijnaad | outseam
Totale lengte | outseam
Taille | waist
Taillewijdte | waist
Tailleomtrek | waist | round
Halve tailleomtrek | waist | flat
Tailleband | waist
Taille plat gemeten | waist | flat
Heup | hip
Heupwijdte | hip
Heupomtrek | hip | round
1/2 heupwijdte | hip | flat
Bovenbeen | thigh
Bovenbeenwijdte | thigh
Dijwijdte | thigh
Dij | thigh
Knie | knee
Kniewijdte | knee
Pijpwijdte | leg_opening
Zoomwijdte | leg_opening
Zoom | leg_opening
Voetwijdte | leg_opening
Halve pijpwijdte | leg_opening | flat
Hoogte tailleband | !waistband_height
Zoomhoogte | !hem_height
Borstomtrek | !bust
Mouwlengte | !shoulder
Kuitwijdte | !calf
Achterzak | !pocket
Kniehoogte | !part_length
"""

POLISH = """
Stan | front_rise
Stan z przodu | front_rise
Stan przód | front_rise
Wysokość stanu z przodu | front_rise
Przedni stan | front_rise
Stan z tyłu | back_rise
Stan tył | back_rise
Długość nogawki wewnętrzna | inseam
Długość wewnętrzna nogawki | inseam
Wewnętrzna długość nogawki | inseam
Długość nogawki od kroku | inseam
Długość zewnętrzna | outseam
Długość nogawki zewnętrzna | outseam
Długość całkowita | outseam
Pas | waist
Szerokość w pasie | waist | flat
Obwód pasa | waist | round
Obwód w pasie | waist | round
Talia | waist
Pas (na płasko) | waist | flat
Pół pasa | waist | flat
Biodra | hip
Obwód bioder | hip | round
Szerokość w biodrach | hip | flat
Udo | thigh
Obwód uda | thigh | round
Szerokość uda | thigh | flat
Kolano | knee
Szerokość w kolanie | knee | flat
Szerokość nogawki | leg_opening | flat
Szerokość nogawki na dole | leg_opening | flat
Obwód nogawki na dole | leg_opening | round
Nogawka dół | leg_opening
Biust | !bust
Obwód w biuście | !bust
Długość rękawa | !shoulder
Szerokość pod pachami | !bust
Wysokość paska | !waistband_height
Kieszeń | !pocket
"""

SWEDISH = """
Gren fram | front_rise
Grenhöjd fram | front_rise
Grenhöjd | front_rise
Grenhöjd bak | back_rise
Gren bak | back_rise
Innerben | inseam
Innerbenslängd | inseam
Innersöm | inseam
Benlängd insida | inseam
Grensömmen | inseam
Ytterben | outseam
Sidlängd | outseam
Yttersöm | outseam
Total längd | outseam
Midja | waist
Midjevidd | waist
Midjemått | waist
Midjeomkrets | waist | round
Halva midjevidden | waist | flat
Halv midja | waist | flat
Höft | hip
Höftvidd | hip
Stuss | hip
Höftomkrets | hip | round
Lår | thigh
Lårvidd | thigh
Knä | knee
Knävidd | knee
Benslut | leg_opening
Benvidd | leg_opening
Fåll | leg_opening
Benöppning | leg_opening
Benvidd nedtill | leg_opening
Byst | !bust
Ärmlängd | !shoulder
Bakficka | !pocket
Linningshöjd | !waistband_height
Vadvidd | !calf
"""

TURKISH = """
Ön ağ | front_rise
Ön ağ yüksekliği | front_rise
Ağ yüksekliği | front_rise
Ön Ağ (Kemer Dahil) | front_rise
Arka ağ | back_rise
Arka ağ yüksekliği | back_rise
İç boy | inseam
İç Bacak Boyu | inseam
İÇ BOY | inseam
Dış boy | outseam
Yan boy | outseam
Toplam boy | outseam
Bel | waist
Bel çevresi | waist | round
Bel genişliği | waist | flat
1/2 Bel | waist | flat
Yarım bel | waist | flat
Kemer | waist
Kalça | hip
Basen | hip
Kalça çevresi | hip | round
1/2 Basen | hip | flat
Üst bacak | thigh
Uyluk çevresi | thigh | round
Diz | knee
Diz genişliği | knee | flat
Paça | leg_opening
Paça genişliği | leg_opening | flat
Paça ağzı | leg_opening
1/2 Paça | leg_opening | flat
Paça çevresi | leg_opening | round
Göğüs | !bust
Kol boyu | !shoulder
Kemer yüksekliği | !waistband_height
Cep ağzı | !pocket
Fermuar boyu | !fly
"""

CHINESE = """
前浪 | front_rise
前裆 | front_rise
前档 | front_rise
前浪(连腰) | front_rise
前浪(不连腰) | front_rise
前浪长 | front_rise
前檔 | front_rise
后浪 | back_rise
后裆 | back_rise
後浪 | back_rise
后档(含腰) | back_rise
内长 | inseam
内侧长 | inseam
下裆 | inseam
下裆长 | inseam
內長 | inseam
裤内长 | inseam
裤长 | outseam
外长 | outseam
外侧长 | outseam
侧缝长 | outseam
褲長 | outseam
全长 | outseam
腰围 | waist | round
腰圍 | waist | round
腰围(cm) | waist | round
1/2腰围 | waist | flat
腰宽 | waist | flat
腰头围 | waist | round
腰围(放松) | waist | round
腰围(拉伸) | waist | round
臀围 | hip | round
坐围 | hip | round
臀围(腰下18cm) | hip | round
坐围(浪上3寸) | hip | round
臀宽 | hip | flat
大腿围 | thigh | round
大腿围(裆下2.5cm) | thigh | round
横裆 | thigh
髀围(浪底下1寸) | thigh | round
腿围 | thigh | round
膝围 | knee | round
中裆 | knee
膝围(浪下14寸) | knee | round
脚口 | leg_opening
脚口围 | leg_opening | round
裤口 | leg_opening
裤脚 | leg_opening
脚口宽 | leg_opening | flat
裤脚围 | leg_opening | round
腰头高 | !waistband_height
胸围 | !bust
肩宽 | !shoulder
袖长 | !shoulder
衣长 | !shoulder
拉链长 | !fly
后袋高 | !pocket
裙长 | !skirt
小腿围 | !calf
全裆 | !total_rise
"""

JAPANESE = """
股上 | front_rise
前股上 | front_rise
股上(前) | front_rise
股上丈 | front_rise
前 股上 | front_rise
後股上 | back_rise
後ろ股上 | back_rise
股上(後ろ) | back_rise
股下 | inseam
股下丈 | inseam
また下 | inseam
総丈 | outseam
パンツ丈 | outseam
脇丈 | outseam
ウエスト | waist
ウェスト | waist
ｳｴｽﾄ | waist
ウエスト周り | waist | round
ウエスト幅 | waist | flat
ウエスト(平置き) | waist | flat
ウエスト(ゴム最大) | waist
ヒップ | hip
ヒップ周り | hip | round
ヒップ幅 | hip | flat
わたり | thigh
わたり幅 | thigh | flat
ワタリ幅 | thigh | flat
渡り幅 | thigh | flat
わたり周り | thigh | round
もも周り | thigh | round
太もも周り | thigh | round
太もも幅 | thigh | flat
膝幅 | knee | flat
ひざ幅 | knee | flat
膝周り | knee | round
裾 | leg_opening
裾幅 | leg_opening | flat
裾周り | leg_opening | round
すそ幅 | leg_opening | flat
裾まわり | leg_opening | round
裾口幅 | leg_opening | flat
バスト | !bust
肩幅 | !shoulder
袖丈 | !shoulder
身丈 | !shoulder
身幅 | !bust
ベルト幅 | !waistband_height
裾上げ | !hem_height
ポケット口 | !pocket
ふくらはぎ周り | !calf
足首周り | !ankle
スカート丈 | !skirt
"""

KOREAN_AND_RUSSIAN = """
허리 | waist
허리단면 | waist | flat
허리 둘레 | waist | round
엉덩이 단면 | hip | flat
허벅지 | thigh
허벅지단면 | thigh | flat
밑위 | front_rise
앞밑위 | front_rise
뒷밑위 | back_rise
밑단 | leg_opening
밑단 단면 | leg_opening | flat
총장 | outseam
총길이 | outseam
인심 | inseam
어깨 | !shoulder
가슴단면 | !bust
Обхват талии | waist | round
Полуобхват талии | waist | flat
Ширина талии | waist | flat
Обхват бедер | hip | round
Полуобхват бедер | hip | flat
Высота посадки спереди | front_rise
Посадка сзади | back_rise
Длина по внутреннему шву | inseam
Шаговый шов | inseam
Длина по боковому шву | outseam
Ширина штанины внизу | leg_opening | flat
Ширина низа | leg_opening | flat
Обхват груди | !bust
Длина рукава | !shoulder
"""

TRAPS = """
Total rise | !total_rise
Rise total | !total_rise
Crotch length | !total_rise
Total crotch | !total_rise
U-crotch | !total_rise
Crotch (front to back) | !total_rise
Front to back rise | !total_rise
High hip | !high_hip
Hip, high | !high_hip
High hip (3" below waist) | !high_hip
Upper hip | !high_hip
Cuff | !cuff
Cuff height | !cuff
Cuff depth | !cuff
Waistband height | !waistband_height
Waistband depth | !waistband_height
WB height | !waistband_height
W/B Height | !waistband_height
Band height | !waistband_height
Height of waistband | !waistband_height
Hem height | !hem_height
Hem depth | !hem_height
Turn-up height | !hem_height
Fly length | !fly
Fly opening | !fly
Fly width | !fly
Front fly length | !fly
Zipper | !fly
Zip length | !fly
Zipper length at front rise | !fly
J-Stitch width | !fly
Pocket opening | !pocket
Front pocket opening | !pocket
Back pocket height | !pocket
Back pocket placement from waistband | !pocket
Pocket opening at hip | !pocket
Distance from waistband to back pocket | *
Coin pocket width | !pocket
Back yoke height | !yoke
Yoke at side seam | !yoke
Back yoke height at CB | !yoke
Belt loop length | !belt_loop
Belt loops | !belt_loop
Drawstring length | !belt_loop
Bust | !bust
Chest | !bust
Underbust | !bust
Pit to pit | !bust
Shoulder | !shoulder
Shoulder to shoulder | !shoulder
Sleeve | !shoulder
Sleeve length | !shoulder
Sleeve inseam | !shoulder
Sleeve opening | !shoulder
Neck width | !shoulder
Back length | !shoulder
Back waist length | !shoulder
Arm length | !shoulder
Upper arm | !shoulder
Height | !height
Model height | !height
Model's height | !height
Seat height | !height
Weight | !weight
Calf | !calf
Calf width | !calf
Ankle | !ankle
Ankle circumference | !ankle
Mid thigh | !other_thigh
Lower thigh | !other_thigh
Thigh length | !other_thigh
Foot length | !shoe
Heel height | !shoe
Shaft circumference | !shoe
Boot shaft height | !shoe
Skirt length | !skirt
Dress length | !skirt
Strap drop | !skirt
Strap length | !skirt
Width | !furniture
Depth | !furniture
Overall width | !furniture
Diameter | !furniture
Seat depth | *
Knee height | !part_length
Hip depth | !part_length
Waist to hip | *
Waist to knee | !distance
Knee to hem | !distance
Hip to hem | !distance
Front waist width | !waist_piece
Back hip | !hip_piece
Thigh (front) | !thigh_piece
Side rise | !crotch
Bottom band height | !waistband_height
Inseam gusset | !gusset
Total length from HPS | !shoulder
Length from shoulder to hem | !shoulder
Shorts leg opening | !skirt
Waist dart length | !part_length
Hem slit | !hem_height
Side seam slit | !hem_height
Side seam pocket opening | !pocket
Seat belt | !belt_loop
Mattress hem | !furniture
Rise to knee | !distance
Ankle to hem | !distance
Waist/Hip | *
Waist & hip | *
Front/back rise | *
Thigh/Knee | *
Hem to Hem Inseam | *
Style | -
Color | -
Size | -
Price | -
Quantity | -
Notes | -
Table top | -
Delivery | -
Waste | -
Thing | -
Lining | -
Things to know | -
Total | -
28 | -
W29 L30 | -
"""


def read_table(table: str) -> list[tuple[str, str, str]]:
    """(label, expected, convention) of every line."""
    rows = []
    for line in table.strip().splitlines():
        parts = [part.strip() for part in line.split(" | ")]
        rows.append((parts[0], parts[1], parts[2] if len(parts) > 2 else ""))
    return rows
