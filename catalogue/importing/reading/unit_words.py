"""What units of money and coins are called: words, signs and short names in several languages.

Kept: for each unit its spellings, under one name; for coins with a name of their own how many of
which unit they are, and where; words for numbers. Folded as by ``series.text.folding.fold``. The
words are common usage, no source; the values of named coins are from memory.

>>> UNITS["pfg"], UNITS["kopeek"], NUMBERS["zwei"], NAMED["nickel"][0].number
(('pfennig',), ('kopeck',), Fraction(2, 1), Fraction(5, 1))
"""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction
from typing import NamedTuple

from series.text.folding import fold

_UNITS = {
    "euro": "euros|eur|€|evro|ευρω|ευρώ|евро",
    "cent": (
        "cents|centy|ct|cts|c|¢|eurocent|eurocents|euro cent|euro cents|euro ct|centen|eurocenten|"
        "sentti|senttiä|ec|cent euro|snt|λεπτα|λεπτά|euro centen|centów"
    ),
    "dollar": "dolara|dolarów|"
    "dollars|$|dol|dólar|dólares|dolar|dolary|dollaro|dollari|us$|usd|can$|a$|doll",
    "pound": "pounds|£|livre|livres|lb|pfund|libra|libras|sterling|funt|pond|ponden|pund",
    "shilling": "shillings|s|sh|/-|shill|shilings",
    "penny": "pence|pennies|p|d|pennys|new pence|new penny|np|penni",
    "farthing": "farthings",
    "crown": "crowns|corona|corone|couronne|couronnes|coronas|coroa|coroas|kronen",
    "guinea": "guineas",
    "sovereign": "sovereigns|sov",
    "mark": (
        "marks|mk|dm|rm|reichsmark|reichsmarks|deutsche mark|deutschmark|d mark|marka|"
        "goldmark|m|rentenmark|marki|marco|marchi|marcos|marek|mdn|mark der ddr"
    ),
    "pfennig": (
        "pfennige|pf|pfg|pfenning|reichspfennig|rpf|pfennigs|rentenpfennig|fenig|fenigów|"
        "fenigi|pfge|pfennigen"
    ),
    "schilling": "schillinge|ös|ats|schillings|sch|szyling",
    "groschen": "gr|gro|groschens|silbergroschen|grosz|grosze|groszy",
    "taler": (
        "thaler|talers|thalers|vereinstaler|vereinsthaler|reichstaler|reichsthaler|tlr|talar|talary"
    ),
    "kreuzer": "krajczar|xr|kr kreuzer|krajcar|krejcar|kreutzer",
    "heller": "heller|hal|haler|haléř|halere|haleru|haléřů|halier|halierov|halerzy|h|hellers",
    "gulden": "guldens|fl|hfl|florijn|guilder|guilders|nlg|gld|ƒ|f nl|gulda|florines",
    "florin": "florins|fiorino",
    "stuiver": "stuivers",
    "franc": (
        "francs|fr|frs|f|ff|bfr|fb|franken|sfr|chf|frank|fb|franco|franchi|francos|franki|"
        "franków|fr s|bef|frf|nouveau franc|nouveaux francs|nf|francen|lfr|flux|anciens "
        "francs|ancien franc"
    ),
    "centime": "centimes|ctm|ctms|centiem|centiemen|cms|cent fr|cme",
    "rappen": "rp|rap|raps",
    "sou": "sous|sols",
    "lira": "lire|lit|l|liras|itl|₤|lirasi|lirası|ltl it|lir|liry",
    "centesimo": "centesimi|centes|cmi",
    "soldo": "soldi",
    "scudo": "scudi",
    "peseta": "pesetas|pta|ptas|pts|ptes|esp|pesetes|peset|pesety|pes",
    "centimo": (
        "céntimos|centimos|cmos|cts esp|ctmos|centimos de peseta|céntimo de euro|céntimos de euro"
    ),
    "real": "reales|reais|rs br",
    "peso": "pesos|ps",
    "centavo": "centavos|ctvs|cvs",
    "escudo": "escudos",
    "reis": "réis",
    "cruzeiro": "cruzeiros",
    "krona": (
        "krone|kronor|kroner|kr|skr|nkr|dkr|sek|nok|dkk|kronen|korona|koron|krónur|króna|"
        "korony|kronur|isk|krn"
    ),
    "ore": "öre|øre|aurar|eyrir|örer|ør",
    "skilling": "skillingar|skillinger|sk",
    "rigsdaler": "riksdaler|speciedaler|rd|rigsbankdaler",
    "markka": "markkaa|mk fi|fim|mka",
    "penni": "penniä|penniä|pennia",
    "zloty": "złoty|złote|złotych|zl|zł|zlotych|zlote|pln|zlotys|zloti|złotówka",
    "koruna": "koruny|korun|kčs|kcs|kč|kc|czk|ks|kčs|korunas|koruna cs|csk",
    "forint": "forints|ft|huf|forintów",
    "filler": "fillér|filleres|f hu|fillers",
    "pengo": "pengő|pengos|p hu",
    "leu": "lei|ron|rol",
    "ban": "bani",
    "lev": "leva|lv|bgn|levs|levů|лев|лева",
    "stotinka": "stotinki|st bg|stotinok|стотинки",
    "dinar": "dinara|dinars|din|dinare|dinari|dinár|dinaras|dinaria|denar|denari|динар|динара",
    "para": "paras|pará|пара",
    "kuna": "kune",
    "lipa": "lipe",
    "tolar": "tolarjev|tolarja",
    "stotin": "stotinov",
    "drachma": (
        "drachmas|dr|drs|drachmai|drachme|drachmen|drachmes|drachmi|grd|δραχμη|δραχμές|"
        "δραχμαι|dracma|dracme|dracmas|drakhma|drachmy"
    ),
    "lepton": "lepta|λεπτον",
    "rouble": (
        "roubles|ruble|rubles|rubel|rub|rbl|rublo|rubli|rublos|roebel|r su|rubl|рубль|рубля|"
        "рублей|rubla"
    ),
    "kopeck": (
        "kop|kopeks|kopek|kopeken|kopeke|kopecks|kopeek|kopejka|kopiejka|kopiejek|kopiejki|"
        "kopeika|kopejek|kopeyka|kopiyka|kopiyok|копеек|копейка|копейки|kopecs|copeck|"
        "copechi|copechi|copecas"
    ),
    "sent": "senti|santim|santims|santimi|santimu|santīmi|santīms|santimai|centas|centai|centu",
    "kroon": "krooni|eek",
    "lats": "lati",
    "litas": "litai|lt|litu",
    "tugrik": "tögrög",
    "kurus": "kuruş|krs|kurush|kr tr|qirsh|piastre tr|ghirsh",
    "piastre": "piastres|piaster|piastra",
    "millieme": "milliemes|millièmes|milliem|mil|mils|mills|mill",
    "fils": "fulus",
    "rial": "rials|riyal|riyals|ryal|ريال",
    "halala": "halalas|halalah",
    "dirham": "dirhams|dh",
    "shekel": "sheqel|sheqalim|shekels|nis",
    "agora": "agorot|agorah|agoroth",
    "pruta": "prutah|prutot",
    "rupee": "rupees|rs|rupie|rupien|roupie|roupies|rupia|rupias|rupiah",
    "anna": "annas",
    "paisa": "paise|pice|naya paisa|naye paise|np in",
    "pie": "pies",
    "yen": "¥|jpy|円|圓|yens",
    "sen": "銭",
    "yuan": "元|renminbi|rmb|kuai",
    "jiao": "角",
    "fen": "分",
    "cash": "käsch",
    "won": "원",
    "baht": "bath|บาท",
    "satang": "สตางค์",
    "dong": "đồng",
    "rand": "rands|zar",
    "baisa": "baiza|baizas",
    "sucre": "sucres",
    "sol": "soles",
    "bolivar": "bolívar|bolivares|bolívares|bs",
    "bolivian peso": "boliviano|bolivianos",
    "quetzal": "quetzales",
    "colon": "colón|colones",
    "balboa": "balboas",
    "lempira": "lempiras",
    "cordoba": "córdoba|cordobas",
    "austral": "australes",
    "guarani": "guaraní|guaranies",
    "ducat": "ducats|dukat|dukaten|dukaat|ducado|ducati|dukater",
    "batzen": "",
    "afghani": "afghanis",
    "zaire": "zaires|zaïre|zaïres",
    "likuta": "makuta",
    "kwacha": "",
    "ngwee": "",
    "naira": "",
    "kobo": "",
    "cedi": "cedis",
    "pesewa": "pesewas",
    "dalasi": "dalasis",
    "butut": "bututs",
}


class Named(NamedTuple):
    """A coin with a name of its own: how many of a unit it is; where, by code, all where empty."""

    number: Fraction
    unit: str
    where: tuple[str, ...] = ()


_PARTS = Fraction(1, 2), Fraction(1, 4)
_BRITISH = ("GB", "IE", "AU", "NZ", "ZA")
_NAMED: dict[str, tuple[Named, ...]] = {
    "nickel|nickels": (Named(Fraction(5), "cent", ("US", "CA")),),
    "dime|dimes": (Named(Fraction(10), "cent", ("US", "CA")), Named(Fraction(1), "dime")),
    "quarter|quarters|quarterdollar": (Named(_PARTS[1], "dollar", ("US", "CA")),),
    "half|halves|halfdollar|half dollar": (Named(_PARTS[0], "dollar", ("US", "CA")),),
    "penny|pennies|pennys": (Named(Fraction(1), "cent", ("US", "CA")), Named(Fraction(1), "penny")),
    "buck": (Named(Fraction(1), "dollar", ("US",)),),
    "eagle": (Named(Fraction(10), "dollar", ("US",)),),
    "loonie": (Named(Fraction(1), "dollar", ("CA",)),),
    "toonie|twoonie": (Named(Fraction(2), "dollar", ("CA",)),),
    "bob": (Named(Fraction(1), "shilling", ("GB",)),),
    "tanner": (Named(Fraction(6), "penny", ("GB",)),),
    "quid": (Named(Fraction(1), "pound", ("GB",)),),
    "sixpence|sixpences": (Named(Fraction(6), "penny"),),
    "threepence|thruppence|thrupence|threepenny|threpence": (Named(Fraction(3), "penny"),),
    "twopence|tuppence": (Named(Fraction(2), "penny"),),
    "fourpence|groat": (Named(Fraction(4), "penny", ("GB",)), Named(Fraction(1), "groat")),
    "halfpenny|ha penny|hapenny|halfpence": (Named(_PARTS[0], "penny"),),
    "farthing|farthings": (Named(_PARTS[1], "penny", _BRITISH),),
    "florin": (Named(Fraction(2), "shilling", _BRITISH), Named(Fraction(1), "florin")),
    "halfcrown": (Named(Fraction(5, 2), "shilling", _BRITISH), Named(_PARTS[0], "crown")),
    "crown": (Named(Fraction(5), "shilling", _BRITISH), Named(Fraction(1), "crown")),
    "groschen": (Named(Fraction(10), "pfennig", ("DE",)), Named(Fraction(1), "groschen")),
    "sechser": (Named(Fraction(5), "pfennig", ("DE",)),),
    "kwartje|kwartjes": (Named(Fraction(25), "cent", ("NL",)),),
    "cuarto|cuartos": (
        Named(_PARTS[1], "dollar", ("US",)),
        Named(Fraction(1), "cuarto", ("ES",)),
    ),
    "dubbeltje|dubbeltjes": (Named(Fraction(10), "cent", ("NL",)),),
    "stuiver|stuivers": (Named(Fraction(5), "cent", ("NL",)), Named(Fraction(1), "stuiver")),
    "rijksdaalder|rijksdaalders": (Named(Fraction(5, 2), "gulden", ("NL",)),),
    "duro": (Named(Fraction(5), "peseta", ("ES",)),),
    "fünfliber|fuenfliber": (Named(Fraction(5), "franc", ("CH",)),),
    "zweifränkler": (Named(Fraction(2), "franc", ("CH",)),),
    "batzen": (Named(Fraction(10), "rappen", ("CH",)),),
    "sou|sous": (Named(Fraction(5), "centime", ("FR",)),),
    "enkrona": (Named(Fraction(1), "krona"),),
    "femma": (Named(Fraction(5), "krona", ("SE",)),),
    "tia": (Named(Fraction(10), "krona", ("SE",)),),
}

_NUMBERS = {
    Fraction(1): "one|ein|eine|einen|un|une|uno|una|een|en|ett|et|eins|jeden|jedna|1er|um|uma|eén",
    Fraction(2): "two|zwei|deux|due|dos|twee|två|to|tva|dwa|dwie|dois|duas|tveir",
    Fraction(3): "three|drei|trois|tre|tres|drie|trzy",
    Fraction(4): "four|vier|quatre|quattro|cuatro|fyra|fire|cztery",
    Fraction(5): "five|fünf|fuenf|cinq|cinque|cinco|vijf|fem|pięć|piec|fünfer",
    Fraction(6): "six|sechs|sei|seis|zes|sex|seks",
    Fraction(8): "eight|acht|huit|otto|ocho|åtta|otte",
    Fraction(10): "ten|zehn|dix|dieci|diez|tien|tio|ti|dziesięć|dez",
    Fraction(12): "twelve|zwölf|douze|dodici|doce|twaalf|tolv",
    Fraction(15): "fifteen|fünfzehn|quinze|quince",
    Fraction(20): "twenty|zwanzig|vingt|venti|veinte|twintig|tjugo|tyve|dwadzieścia|vinte",
    Fraction(
        25
    ): "twentyfive|twenty five|fünfundzwanzig|vingt cinq|venticinque|veinticinco|vijfentwintig|"
    "tjugofem|femogtyve",
    Fraction(
        50
    ): "fifty|fünfzig|cinquante|cinquanta|cincuenta|vijftig|femtio|halvtreds|pięćdziesiąt",
    Fraction(
        100
    ): "hundred|one hundred|hundert|einhundert|cent fr100|cento|cien|honderd|hundra|hundrede|sto",
    Fraction(500): "fünfhundert|cinq cents|cinquecento|quinientas|quinientos",
    Fraction(
        1, 2
    ): "half|halb|halbe|halber|halben|halbes|demi|mezzo|mezza|medio|media|halve|halv|halva|pół|"
    "pol|meio|1/2",
    Fraction(1, 4): "quarter|viertel|quart|kwart|kvarts|cuarto|quarto|kvart|ćwierć",
    Fraction(1, 3): "third|drittel|tiers|tercio|terzo",
    Fraction(3, 2): "anderthalb|eineinhalb",
    Fraction(5, 2): "two and a half|two and half|zweieinhalb|dos y medio",
}


def _laid_out(table: dict[str, str]) -> dict[str, tuple[str, ...]]:
    found: dict[str, list[str]] = defaultdict(list)
    for name, words in table.items():
        for word in (name, *words.split("|")):
            key = fold(word) or word
            if word and name not in found[key]:
                found[key].append(fold(name))
    return {word: tuple(names) for word, names in found.items()}


UNITS = _laid_out(_UNITS)
"""The units that a folded word may name."""

NAMED = {fold(each): named for words, named in _NAMED.items() for each in words.split("|")}
"""The coins that a folded word may name."""

NUMBERS = {fold(each): number for number, words in _NUMBERS.items() for each in words.split("|")}
"""Numbers by folded words."""

GLUED = sorted((w for w in NUMBERS if len(w) > 1 and w.isalpha()), key=len, reverse=True)
"""Words for numbers that may begin a longer word, the longest first."""

ENDINGS = (
    "stuecke",
    "stueck",
    "stuck",
    "stuk",
    "mynt",
    "ing",
    "er",
    "piece",
    "munze",
    "muenze",
    "ka",
)
"""What may be glued behind a unit: Fünfmarkstück, femöring."""

ALIKE: dict[str, frozenset[str]] = {
    "cent": frozenset({"centime", "centimo", "centesimo", "sent", "lepton", "centauo", "rappen"}),
    "centime": frozenset({"rappen", "cent"}),
    "rappen": frozenset({"centime", "cent"}),
    "krona": frozenset({"koruna", "crown"}),
    "crown": frozenset({"krona", "koruna", "kroon"}),
    "penny": frozenset({"penni"}),
    "mark": frozenset({"markka"}),
    "groschen": frozenset({"grosz"}),
}
"""Units of different moneys that people call by one another's names."""
