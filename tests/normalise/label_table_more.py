"""More labels as shops print them, in the languages of smaller markets; laid out as `label_table_shops`."""

from __future__ import annotations

DANISH = """
waist: Talje; Taljevidde; Linning; Talje (cm)
waist flat: 1/2 talje; Taljebredde; Halv talje
waist round: Taljeomkreds; Talje (omkreds)
hip: Hofte; Hoftevidde; Hofter
hip flat: 1/2 hofte; Hoftebredde
hip round: Hofteomkreds
thigh: Lår; Lårvidde
thigh round: Lårvidde (omkreds)
knee: Knæ; Knævidde
leg_opening: Benvidde forneden; Benåbning; Fodvidde; Vidde forneden
leg_opening round: Benvidde forneden (omkreds)
front_rise: Skridthøjde foran; Skridtlængde foran; Forreste skridtlængde
back_rise: Skridthøjde bag; Skridtlængde bag
inseam: Indvendig benlængde; Indersøm; Inderben
outseam: Udvendig benlængde; Sidelængde; Ydersøm; Totallængde
*: Brystmål; Ærmelængde; Lomme; Lynlås; Nederdel
"""

NORWEGIAN = """
waist: Midje; Midjevidde
waist flat: 1/2 midje; Midjebredde
hip: Hofte; Hoftevidde
thigh: Lårvidde
knee: Kne; Knevidde
leg_opening: Benåpning; Benvidde nede
front_rise: Skritthøyde foran; Skrittlengde foran
back_rise: Skritthøyde bak
inseam: Innersøm; Innvendig benlengde; Innerbenlengde
outseam: Yttersøm; Utvendig benlengde; Sidelengde; Total lengde
*: Ermelengde; Glidelås
"""

FINNISH = """
waist: Vyötärö; Vyötärömitta
waist round: Vyötärönympärys; Vyötärön ympärys
waist flat: Vyötärön leveys
hip: Lantio
hip round: Lantionympärys; Lantion ympärys
hip flat: Lantion leveys
thigh: Reisi
thigh round: Reiden ympärys
knee: Polvi
leg_opening: Lahkeensuu
leg_opening flat: Lahkeensuun leveys
leg_opening round: Lahkeensuun ympärys
front_rise: Haarakorkeus edestä; Etuhaara; Haarakorkeus
back_rise: Haarakorkeus takaa; Takahaara
inseam: Sisäsauma; Sisäsauman pituus; Lahkeen sisäpituus
outseam: Ulkosauma; Sivupituus; Kokonaispituus
*: Rinnanympärys; Hihan pituus; Tasku; Vetoketju
"""

CZECH = """
waist: Pas; Pás
waist round: Obvod pasu; Pas (obvod)
waist flat: Šířka v pase; 1/2 pasu
hip: Boky
hip round: Obvod boků
hip flat: Šířka boků
thigh: Stehno
thigh round: Obvod stehna
thigh flat: Šířka stehna
knee: Koleno
knee round: Obvod kolene
leg_opening flat: Šířka nohavice dole; Spodní šířka nohavice
front_rise: Hloubka sedu vpředu; Přední sed; Výška sedu
back_rise: Zadní sed; Hloubka sedu vzadu
inseam: Vnitřní délka nohavice; Vnitřní šev; Délka vnitřního švu
outseam: Vnější délka nohavice; Boční délka; Celková délka
*: Obvod hrudi; Délka rukávu; Kapsa; Sukně
"""

HUNGARIAN = """
waist: Derék
waist round: Derékbőség; Derék kerület
waist flat: Derékszélesség; Derék szélesség
hip: Csípő
hip round: Csípőbőség
hip flat: Csípőszélesség
thigh: Comb
thigh round: Combbőség
knee: Térd
leg_opening: Szárbőség alul
front_rise: Elülső ülepmagasság; Ülepmagasság elöl; Ülephossz elöl
back_rise: Hátsó ülepmagasság; Ülephossz hátul
inseam: Belső lábhossz; Belső szárhossz; Belső hossz
outseam: Külső lábhossz; Oldalhossz; Teljes hossz
*: Mellbőség; Ujjhossz; Zseb; Cipzár
"""

ROMANIAN = """
waist: Talie; Betelie
waist round: Circumferință talie; Circumferința taliei
waist flat: Lățime talie; 1/2 talie
hip: Șolduri; Bazin
hip round: Circumferință șolduri
hip flat: Lățime șolduri
thigh: Coapsă
thigh round: Circumferință coapsă
knee: Genunchi
leg_opening: Terminație
leg_opening flat: Lățime terminație; Lățime crac jos
front_rise: Tur față; Înălțime talie față
back_rise: Tur spate
inseam: Lungime interioară picior; Lungime interioară; Cusătură interioară
outseam: Lungime exterioară; Lungime totală; Lungime laterală
*: Lungime mânecă; Buzunar; Fermoar; Fustă
"""

GREEK = """
waist: Μέση; ΜΕΣΗ
waist round: Περίμετρος μέσης; Περιφέρεια μέσης
waist flat: Πλάτος μέσης
hip: Γοφοί; Λεκάνη
hip round: Περίμετρος γοφών; Περιφέρεια λεκάνης
thigh: Μηρός
thigh round: Περίμετρος μηρού
knee: Γόνατο
leg_opening: Μπατζάκι; Άνοιγμα μπατζακιού
front_rise: Καβάλος μπροστά; Ύψος καβάλου
back_rise: Καβάλος πίσω
inseam: Εσωτερικό μήκος ποδιού; Εσωτερική ραφή; Εσωτερικό μήκος
outseam: Εξωτερικό μήκος; Συνολικό μήκος; Εξωτερική ραφή
*: Περίμετρος στήθους; Μήκος μανικιού; Τσέπη; Φούστα
"""

UKRAINIAN = """
waist round: Обхват талії
waist flat: Напівобхват талії; Ширина по талії; Ширина талії
hip round: Обхват стегон
hip flat: Напівобхват стегон; Ширина по стегнах
knee flat: Ширина по коліну
leg_opening flat: Ширина по низу; Ширина низу; Ширина штанини внизу
front_rise: Посадка спереду; Висота посадки
back_rise: Посадка ззаду
inseam: Довжина по внутрішньому шву; Довжина внутрішнього шва; Внутрішній шов
outseam: Довжина по боковому шву; Загальна довжина; Боковий шов
*: Обхват грудей; Довжина рукава; Кишеня; Спідниця
"""

THAI = """
waist: เอว; ขอบเอว
waist round: รอบเอว; รอบเอว (นิ้ว)
hip: สะโพก
hip round: รอบสะโพก
thigh: ต้นขา
thigh round: รอบต้นขา
knee: เข่า
leg_opening: ปลายขา
leg_opening round: รอบปลายขา
front_rise: เป้าหน้า; ความยาวเป้าหน้า
back_rise: เป้าหลัง
inseam: ความยาวขาด้านใน; ขาด้านใน; ตะเข็บใน
outseam: ความยาวรวม; ความยาวกางเกง; ตะเข็บข้าง
*: รอบอก; ไหล่; กระเป๋า; ซิป; กระโปรง
"""

VIETNAMESE = """
waist round: Vòng eo; Vòng lưng
waist flat: Ngang eo; Rộng lưng
hip round: Vòng mông; Vòng hông
hip flat: Ngang mông
thigh round: Vòng đùi
thigh flat: Rộng đùi
knee round: Vòng gối
leg_opening flat: Rộng ống; Ngang ống
front_rise: Đáy trước; Hạ đáy trước
back_rise: Đáy sau
inseam: Dài giàng; Dài trong
outseam: Dài quần; Chiều dài quần
*: Vòng ngực; Dài tay
"""

CLOSED_AND_BANDED = """
waist: Waist, buttoned, along top edge; WAIST (RELAXED) - MEASURED ALONG TOP EDGE, BUTTON CLOSED
front_rise: Tiro delantero c/pretina; Cavallo davanti c/cintura; 밑위(허리단 포함)
outseam: Largo lateral c/pretina
thigh flat: BALDIR / ÜST BACAK (1/2)
thigh round: BALDIR ÇEVRESİ / THIGH
knee flat: Ширина брючины на уровне колена
*: BALDIR ÇEVRESİ; Back pocket buttoned
"""

HALF_OF_A_GIRTH = """
waist flat: Derékbőség fele; Μισή περιφέρεια μέσης; Bel çevresi (yarısı); Polovina obvodu pasu
waist flat: Jumătate circumferință talie; Vyötärönympärys puolet; Halv livvidde
thigh flat: Combbőség fele; Ширина брючины вверху
knee flat: Ширина брючины по колену
leg_opening flat: Ширина брючины внизу
front_rise: Высота переднего сиденья с поясом
back_rise: Высота заднего сиденья с поясом
waist: Midjeomfång
hip: Höftomfång
"""

AT_REST = """
waist: Waist (elastic at rest); Waist, elasticated at rest
"""
