"""Words for countries beside their names of today: states that are gone, short names, adjectives.

Kept: for each code of ISO 3166-1, other names in common use; for states that are gone their code
in ISO 3166-3 where they have one, their English name, other names, and the codes of today's states
on whose ground they were. Source: ISO 3166-3 (from memory) for the codes; vehicle signs of the
Convention on Road Traffic of 1968 (from memory); the rest is common usage, no source.

>>> FORMER["DDHH"].name, FORMER["DDHH"].now
('German Democratic Republic', ('DE',))
>>> "holland" in ALSO["NL"].split("|"), VEHICLES["D"]
(True, 'DE')
"""

from __future__ import annotations

from typing import NamedTuple


class Gone(NamedTuple):
    """A state that is gone: its English name, other names, and who is there now."""

    name: str
    names: str
    now: tuple[str, ...]


FORMER: dict[str, Gone] = {
    "DDHH": Gone(
        "German Democratic Republic",
        (
            "ddr|gdr|germany democratic republic|germany dem rep|german dem rep|rep democratique "
            "allemande|duitsland oost|deutschland ost|allemagne rda|germania ddr|rda|rdt|nrd|ndr|"
            "dd|east germany|ostdeutschland|ost deutschland|deutsche demokratische republik|"
            "allemagne de l est|allemagne est|republique democratique allemande|alemania "
            "oriental|republica democratica alemana|germania est|germania orientale|repubblica "
            "democratica tedesca|oost duitsland|oostduitsland|osttyskland|østtyskland|öst "
            "tyskland|niemcy wschodnie|germany east|germany ddr|germany gdr|alemanha oriental|"
            "deutschland ddr"
        ),
        ("DE",),
    ),
    "SUHH": Gone(
        "Soviet Union",
        (
            "ussr|udssr|urss|cccp|ссср|su|u s s r|soviet union|soviet|soviets|sowjetunion|sowjet "
            "union|union sovietique|union des republiques socialistes sovietiques|union "
            "sovietica|unione sovietica|sovjet unie|sovjetunie|sovjet unionen|sovjetunionen|"
            "sovjetunion|neuvostoliitto|zsrr|zwiazek radziecki|uniao sovietica|russia ussr|"
            "russland udssr|советский союз|cccp ussr"
        ),
        ("RU",),
    ),
    "YUCS": Gone(
        "Yugoslavia",
        (
            "jugoslawien|yougoslavie|yugoslavia|iugoslavia|jugoslavia|joegoslavie|joegoslavië|"
            "jugoslavien|jugosławia|jugoslavija|jugoslavije|sfrj|sfry|yu|iugoslavia|югославия|"
            "югославиja"
        ),
        ("RS", "ME", "HR", "SI", "BA", "MK"),
    ),
    "CSHH": Gone(
        "Czechoslovakia",
        (
            "tschechoslowakei|tschechoslovakei|cssr|čssr|csr|csfr|tchecoslovaquie|checoslovaquia|"
            "cecoslovacchia|tsjechoslowakije|tjeckoslovakien|tjekkoslovakiet|tsjekkoslovakia|"
            "czechosłowacja|československo|ceskoslovensko|tchecoslovaquie|checoslovaquia|csr "
            "cssr|чехословакия"
        ),
        ("CZ", "SK"),
    ),
    "CSXX": Gone(
        "Serbia and Montenegro", "serbien und montenegro|serbie et montenegro", ("RS", "ME")
    ),
    "ZRCD": Gone("Zaire", "zaïre|zair|заир", ("CD",)),
    "RHZW": Gone(
        "Southern Rhodesia", "rhodesia|rhodesien|rhodesie|rodesia|rhodesia and nyasaland", ("ZW",)
    ),
    "BUMM": Gone("Burma", "birma|birmanie|birmania|burma myanmar", ("MM",)),
    "HVBF": Gone("Upper Volta", "obervolta|haute volta|alto volta", ("BF",)),
    "DYBJ": Gone("Dahomey", "dahome", ("BJ",)),
    "YDYE": Gone(
        "South Yemen", "südjemen|yemen del sur|yemen democratic republic|pdr yemen", ("YE",)
    ),
    "ANHH": Gone(
        "Netherlands Antilles",
        (
            "nederlandse antillen|niederländische antillen|antilles neerlandaises|antillas "
            "neerlandesas"
        ),
        ("CW", "SX"),
    ),
    "SKIN": Gone("Sikkim", "", ("IN",)),
    "VDVN": Gone("North Vietnam", "nordvietnam", ("VN",)),
}
"""By code of ISO 3166-3."""

WITHOUT_CODE: dict[str, str] = {
    "Austria-Hungary": "österreich ungarn|austria hungary|austro hungarian empire|autriche hongrie|"
    "austria hungria|k u k|austro węgry|oostenrijk hongarije|österrike ungern|austria ungheria",
    "Ottoman Empire": "osmanisches reich|empire ottoman|imperio otomano|ottoman|osmaanse rijk",
    "Prussia": "preussen|preußen|prusse|prusia|prussia|pruisen|prusy|königreich preussen",
    "Bavaria": "bayern|baviere|baviera|beieren|bawaria",
    "Saxony": "sachsen|saxe|sajonia|sassonia",
    "Württemberg": "wuerttemberg",
    "Hesse": "hessen",
    "Hamburg": "freie und hansestadt hamburg",
    "German East Africa": "deutsch ostafrika|doa",
    "German New Guinea": "deutsch neuguinea",
    "Danzig": "freie stadt danzig|free city of danzig|wolne miasto gdansk",
    "Saarland": "saar|sarre",
    "Bohemia and Moravia": "böhmen und mähren|protektorat böhmen und mähren|cechy a morava",
    "British India": "britisch indien|india british|inde britannique|east india company",
    "Straits Settlements": "straits",
    "Malaya": "malaya and british borneo",
    "British East Africa": "east africa|ostafrika",
    "British West Africa": "west africa",
    "British North Borneo": "north borneo",
    "British Honduras": "britisch honduras",
    "British Guiana": "britisch guyana",
    "Newfoundland": "neufundland|terre neuve",
    "French Indochina": "indochina|indochine|französisch indochina|indochine francaise",
    "French West Africa": "afrique occidentale francaise|aof",
    "French Equatorial Africa": "afrique equatoriale francaise|aef",
    "West African States": "etats de l afrique de l ouest|westafrikanische staaten|bceao",
    "Central African States": "etats de l afrique centrale|beac",
    "East Caribbean States": "east caribbean|eastern caribbean states|"
    "british caribbean territories",
    "Belgian Congo": "congo belge|belgisch congo|belgisch kongo",
    "Dutch East Indies": "netherlands east indies|nederlands indie|niederländisch indien|"
    "nederlands oost indie",
    "Danish West Indies": "dansk vestindien",
    "Papal States": "kirchenstaat|stato pontificio|etats pontificaux",
    "Sardinia": "sardinien|sardegna|regno di sardegna",
    "Two Sicilies": "due sicilie|beider sizilien|regno delle due sicilie",
    "Manchukuo": "mandschukuo",
    "Palestine under mandate": "british palestine",
    "South Vietnam": "südvietnam|vietnam south",
    "Tibet": "",
    "Hannover": "hanover",
    "Tuscany": "toskana|toscana",
    "Livonia": "livland",
}
"""States that are gone and have no code, by their English names."""

ALSO: dict[str, str] = {
    "AE": "uae|vae|emirates",
    "AU": "commonwealth of australia",
    "AT": "republik österreich|autriche|osterreich|oesterreich",
    "BA": "bosnia|bosnien",
    "BE": "belgique belgie|belgië belgique|belgium french|belgium dutch",
    "BY": "belarus|weissrussland|weißrussland|bielorussie|byelorussia",
    "CD": "congo kinshasa|congo dr|dr congo|kongo kinshasa|democratic republic of the congo",
    "CG": "congo brazzaville|republic of the congo|congo",
    "CH": (
        "swiss|helvetia|schweizerische eidgenossenschaft|confoederatio helvetica|swiss "
        "confederation|confederatio helvetica|conf helvetica|confed helvetica"
    ),
    "CI": "ivory coast|elfenbeinküste",
    "CN": "pr china|prc|volksrepublik china|peoples republic of china|china pr|vr china",
    "CV": "cape verde|kap verde",
    "CZ": "czech|czech republic|tschechei|tschechische republik|republique tcheque|republica checa|"
    "repubblica ceca|tjekkiet|ceska republika",
    "DE": (
        "brd|frg|gfr|rfa|rft|rfn|dtl|dtld|dld|dtschl|dtschld|"
        "bundesrepublik|bundesrepublik deutschland|federal republic "
        "of germany|west germany|westdeutschland|germany federal republic|germany west|"
        "deutsches reich|german empire|germany empire|third reich|drittes reich|3 reich|"
        "kaiserreich|weimar|weimarer republik|weimar republic|reich|empire allemand|"
        "allemagne de l ouest|alemania occidental|västtyskland|vesttyskland|bank deutscher "
        "länder|alliierte besatzung|impero tedesco|imperio aleman"
    ),
    "DO": "dominican rep",
    "EG": "uar egypt|egypt uar",
    "ES": "espana|reino de espana",
    "FI": "suomi|grand duchy of finland|grossfürstentum finnland",
    "FR": "republique francaise|etat francais|empire francais",
    "GB": (
        "gb|uk|u k|great britain|britain|england|english|united kingdom of great britain|"
        "grossbritannien|großbritannien|grande bretagne|gran bretagna|gran bretana|groot "
        "brittannie|grã bretanha|wielka brytania|inglaterra|inghilterra|engeland|angleterre|"
        "anglia|england uk|scotland|wales|storbritannia|gt britain|gr britain|grbr|g b"
    ),
    "GR": "hellas|hellenic republic|kingdom of greece|grece",
    "HK": "hongkong|hong kong",
    "HU": "magyarorszag|hungarian people s republic",
    "ID": "indonesia",
    "IE": (
        "eire|ireland republic|republic of ireland|irish free state|irish republic|saorstat eireann"
    ),
    "IN": "republic of india|bharat",
    "IR": "persia|persien|perse",
    "IT": (
        "repubblica italiana|regno d italia|kingdom of italy|italia regno|italia repubblica|"
        "kingdom italy"
    ),
    "KH": "cambodge|kampuchea",
    "KP": "dprk|korea north|nordkorea",
    "KR": "korea|korea south|südkorea|sudkorea|rep korea",
    "LA": "laos",
    "LK": "ceylon|ceilan|ceylan",
    "MD": "moldavia|moldawien",
    "MK": "macedonia|mazedonien|fyrom",
    "MM": "myanmar",
    "MO": "macao|macau",
    "MX": "estados unidos mexicanos|mejico",
    "NL": (
        "holland|hollande|holanda|olanda|the netherlands|niederlande|nederland koninkrijk|"
        "kingdom of the netherlands|koninkrijk der nederlanden|pays bas"
    ),
    "PL": "rp|rzeczpospolita polska|prl|polska rzeczpospolita ludowa",
    "PS": "palestine|palästina",
    "RU": (
        "russian empire|russian federation|russland zarenreich|zarenreich|imperial russia|"
        "empire russe|tsarist russia|russia empire|russisches reich"
    ),
    "SA": "saudi arabia|saudi",
    "SY": "syria",
    "SZ": "swaziland|eswatini",
    "TH": "siam",
    "TR": (
        "turkey|türkei|turquie|turchia|turquia|turkije|turkiet|tyrkiet|turcja|turkiye cumhuriyeti"
    ),
    "TW": "taiwan|formosa|republic of china|roc",
    "TZ": "tanganyika",
    "US": (
        "usa|us|u s a|u s|united states of america|america|amerika|etats unis d amerique|"
        "estados unidos de america|eeuu|ee uu|eua|stati uniti d america|vereinigte staaten "
        "von amerika|vsa|vs|stany zjednoczone ameryki|amerikas forenta stater|forenta "
        "staterna|états unis amérique|american"
    ),
    "VA": "vatican|vatikan|vaticano|vatikanstadt|vaticaan|cite du vatican|citta del vaticano",
    "VN": "vietnam",
    "ZA": "south africa|südafrika|zuid afrika|suid afrika|rsa",
}
"""Further names of today's countries, by code of ISO 3166-1."""

ADJECTIVES: dict[str, str] = {
    "AR": "argentine|argentinian",
    "AT": "austrian|österreichisch|autrichien|autrichienne|austriaco",
    "AU": "australian|australisch",
    "BE": "belgian|belgisch|belge|belga",
    "BG": "bulgarian",
    "BR": "brazilian|brasilianisch",
    "CA": "canadian|kanadisch|canadien|canadienne",
    "CH": "schweizer|schweizerisch|helvetique|svizzero|zwitsers",
    "CL": "chilean",
    "CN": "chinese",
    "CZ": "tschechisch|ceska|czeska",
    "DE": (
        "german|deutsche|deutscher|deutsch|allemand|allemande|aleman|tedesco|tedesca|duits|"
        "duitse|tysk|tyska|niemiecka|alemana"
    ),
    "DK": "danish|dänisch|danois|dansk",
    "EG": "egyptian",
    "ES": "spanish|spanisch|espagnol|espagnole|espanol|espanola|spagnolo|spaans",
    "FI": "finnish|finnisch|finsk",
    "FR": "french|französisch|français|française|francese|frans|franse|fransk",
    "GB": (
        "british|britisch|britannique|anglais|anglaise|inglese|engels|engelse|brits|brittisk|"
        "engelsk"
    ),
    "GR": "greek|griechisch|grec|grecque|greco|griego|grieks",
    "HU": "hungarian|ungarisch|magyar",
    "IE": "irish|irisch",
    "IL": "israeli",
    "IN": "indian|indisch",
    "IR": "iranian|persian",
    "IS": "icelandic",
    "IT": "italian|italienisch|italien|italienne|italiano|italiana|italiaans|italiensk",
    "JP": "japanese|japanisch",
    "MX": "mexican|mexicano|mexikanisch",
    "NL": (
        "dutch|niederländisch|hollandais|neerlandais|olandese|holandes|nederlands|"
        "nederlandse|hollandsk"
    ),
    "NO": "norwegian|norwegisch|norsk",
    "NZ": "kiwi",
    "PL": "polish|polnisch|polonais|polsk|polska",
    "RO": "romanian|rumanian",
    "RU": "russian|russisch|russe|russo|ruso|rysk|russisk|rosyjska",
    "SE": "swedish|schwedisch|suedois|svensk|svenska|zweeds",
    "TR": "turkish|türkisch|turc",
    "ZA": "south african",
}

VEHICLES: dict[str, str] = {
    "A": "AT",
    "AUS": "AU",
    "B": "BE",
    "CDN": "CA",
    "D": "DE",
    "E": "ES",
    "EST": "EE",
    "F": "FR",
    "FIN": "FI",
    "SF": "FI",
    "FL": "LI",
    "H": "HU",
    "I": "IT",
    "IND": "IN",
    "IRL": "IE",
    "J": "JP",
    "L": "LU",
    "M": "MT",
    "N": "NO",
    "RSM": "SM",
    "S": "SE",
    "SLO": "SI",
    "V": "VA",
    "GER": "DE",
    "NED": "NL",
    "SUI": "CH",
    "DEN": "DK",
    "GRE": "GR",
    "CRO": "HR",
    "BUL": "BG",
    "LAT": "LV",
}
"""Signs of vehicles, and of teams at games, that are no code of ISO 3166."""

UNIONS: dict[str, str] = {
    "EUR": (
        "euro|euros|eur|euro area|eurozone|euro zone|eurolands|euroland|europe|europa|"
        "european union|eu|eurogebiet|euroraum|zone euro|zona euro|europäische union|union "
        "europeenne|union europea|unione europea|euro münzen|euro coins|eurocoins|euromünzen|"
        "kursmünzen euro"
    ),
}
"""A money that is named where a country is asked for, by code of ISO 4217."""
