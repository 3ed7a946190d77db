"""What columns are called in lists, in several languages, and in which language a heading is.

Kept: for each field and language the words over its column, as common usage has them, no source.
Computed: how well a heading names each field (0 to 1), and the language of most headings. A unit or
a remark in brackets is left aside.

>>> named_by("Nominal"), named_by("Gewicht (g)"), max(named_by("Erh. Rs."), key=named_by("Erh. Rs.").get)
({'denomination': 1.0}, {'mass': 1.0}, 'grade_reverse')
>>> language_of(("Land", "Jaar", "Waarde", "Prijs")), language_of(("x", "w"))
('nl', '')
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterable
from functools import lru_cache

from catalogue.importing.figures import read_currency
from series.text.folding import fold

LANGUAGES = ("en", "de", "fr", "es", "it", "nl", "sv", "da", "nb", "pl", "pt")

_HEADINGS: dict[str, dict[str, str]] = {
    "country": {
        "en": "country|issuer|nation|state|issuing country|origin|country name|region|land of issue|cntry|"
        "issuing authority|territory|country of issue",
        "de": "land|staat|ausgabeland|herkunftsland|prägeland|gebiet|land gebiet|herausgeber|nation|emittent",
        "fr": "pays|etat emetteur|emetteur|nation|pays d emission", "es": "país|pais|emisor|estado emisor|nación",
        "it": "paese|stato|nazione|emittente|stato emittente", "nl": "land|staat|uitgever|landnaam|herkomst land",
        "sv": "land|stat|utgivare", "da": "land|udsteder|stat", "nb": "land|utsteder|stat",
        "pl": "kraj|państwo|emitent|panstwo", "pt": "país|emissor|pais",
    },
    "currency": {
        "en": "currency|unit|money|currency unit|denomination unit|monetary unit", "de": "währung|einheit|münzeinheit|"
        "währungseinheit|waehrung", "fr": "devise|unité|monnaie unité|unite monetaire", "es": "moneda unidad|divisa|"
        "unidad|unidad monetaria", "it": "valuta|unità|divisa|unità monetaria", "nl": "valuta|munteenheid|eenheid|"
        "munt eenheid", "sv": "valuta|enhet|myntenhet", "da": "valuta|enhed|møntenhed", "nb": "valuta|enhet|myntenhet",
        "pl": "waluta|jednostka|jednostka monetarna", "pt": "unidade|moeda unidade|unidade monetária",
    },
    "denomination": {
        "en": "denomination|denom|value|face value|face|nominal|nominal value|denomination value|den", "de":
        "nominal|nennwert|wert|nominale|nom|stückelung|münzwert|nominalwert|wertstufe|wertangabe", "fr": "valeur|"
        "valeur faciale|faciale|denomination|nominal|val faciale|val", "es": "valor|valor facial|facial|denominación|"
        "nominal", "it": "valore|nominale|valore nominale|facciale|valore facciale|taglio|denominazione", "nl":
        "waarde|nominaal|nominale waarde|denominatie|muntwaarde|nom waarde", "sv": "valör|nominal|nominellt värde|"
        "värde", "da": "pålydende|værdi|nominal|møntværdi", "nb": "valør|pålydende|nominal|verdi|myntverdi", "pl":
        "nominał|wartość nominalna|wartość|nominal|nominały", "pt": "valor|valor facial|denominação|facial",
    },
    "coin": {
        "en": "coin|coins|piece|item|coin description|what", "de": "münze|stück|münzen|objekt|prägung|münzbezeichnung",
        "fr": "pièce|monnaie|pieces|monnaies", "es": "moneda|pieza|monedas", "it": "moneta|pezzo|monete",
        "nl": "munt|munten|stuk", "sv": "mynt|myntet|myntslag", "da": "mønt|mønten|mønter", "nb": "mynt|mynten",
        "pl": "moneta|monety", "pt": "moeda|moedas|peça",
    },
    "date": {
        "en": "year|date|year date|yr|coin date|dated|years|date mint|year mint|minted|year of issue|mintage year|"
        "year minted|struck|year mm|yrs|date on coin", "de": "jahr|jahrgang|prägejahr|jahreszahl|jg|datierung|jahr mzz|"
        "datum münze|jahrg|jahr münzzeichen|prägedatum|ausgabejahr|jahre", "fr": "année|millésime|an|annee|date|année "
        "atelier|millesime atelier|mill", "es": "año|fecha|ano|año ceca|acuñación|año de acuñación|fecha año",
        "it": "anno|millesimo|data|annata|anno zecca|anno di conio", "nl": "jaar|jaartal|jaar muntteken|slagjaar|"
        "datering|jr", "sv": "år|årtal|präglingsår|årgång", "da": "år|årstal|årgang|prægeår", "nb": "år|årstall|årgang|"
        "pregeår", "pl": "rok|rocznik|data|rok emisji|rok bicia|data emisji", "pt": "ano|data|era|ano casa",
    },
    "mint_mark": {
        "en": "mint|mint mark|mintmark|mm|m m|mark|mint letter|mint location|mint marks|mint name", "de": "münzzeichen|"
        "mzz|mz|münzstätte|prägestätte|prägeort|mst|buchstabe|pr st|münzst|münzbuchstabe|prägeanstalt|zeichen|prägest|"
        "mzst|münzprägestätte", "fr": "atelier|lettre|différent|differents|lettre d atelier|marque|at", "es": "ceca|"
        "marca de ceca|marca|casa de moneda|m ceca", "it": "zecca|segno di zecca|segno", "nl": "muntteken|"
        "muntplaats|mt|munthuis|muntmeesterteken|atelier|mntteken|teken", "sv": "myntort|myntmärke|präglingsort|"
        "myntverk|myntm", "da": "møntmærke|møntsted|mærke|møntsteds", "nb": "myntmerke|myntsted|merke", "pl":
        "mennica|znak mennicy|znak menniczy|zn menn", "pt": "casa da moeda|letra|marca de casa|marca",
    },
    "series": {
        "en": "series|reign|ruler|king|period|era|monarch|set|issue series|dynasty|type series", "de": "serie|reihe|"
        "herrscher|regent|epoche|zeitraum|periode|regierung|kaiser|könig|münzherr|abschnitt", "fr": "série|règne|"
        "souverain|époque|periode|regne|regime|roi|dirigeant", "es": "serie|reinado|rey|época|periodo|gobernante|"
        "soberano", "it": "serie|regno|sovrano|re|periodo|epoca|regnante", "nl": "serie|vorst|koning|periode|"
        "regeerperiode|heerser|reeks", "sv": "serie|regent|kung|period", "da": "serie|regent|konge|periode", "nb":
        "serie|regent|konge|periode", "pl": "seria|władca|okres|panowanie|cykl", "pt": "série|reinado|rei|período",
    },
    "metal": {
        "en": "metal|composition|alloy|material|metal content|comp|mat", "de": "metall|material|legierung|werkstoff|"
        "zusammensetzung|met", "fr": "métal|composition|alliage|matière|met", "es": "metal|composición|aleación|"
        "material", "it": "metallo|lega|materiale|composizione", "nl": "metaal|materiaal|legering|samenstelling",
        "sv": "metall|material|legering", "da": "metal|materiale|legering", "nb": "metall|materiale|legering",
        "pl": "metal|kruszec|materiał|stop", "pt": "metal|liga|material|composição",
    },
    "diameter": {
        "en": "diameter|dia|diam|size|width|size mm|mm", "de": "durchmesser|dm|ø|größe|durchm|grösse|d mm|ø mm",
        "fr": "diamètre|diam|taille|module|ø", "es": "diámetro|diam|tamaño|módulo", "it": "diametro|diam|modulo",
        "nl": "diameter|doorsnede|diam|middellijn|grootte", "sv": "diameter|storlek|diam", "da": "diameter|størrelse|"
        "diam", "nb": "diameter|størrelse", "pl": "średnica|śr|wymiar|rozmiar", "pt": "diâmetro|diam|módulo|tamanho",
    },
    "mass": {
        "en": "weight|mass|wt|grams|weight g|wght|g", "de": "gewicht|masse|gew|gramm|rauhgewicht|gewicht gramm",
        "fr": "poids|masse|pds", "es": "peso|masa", "it": "peso|massa", "nl": "gewicht|massa|gew", "sv": "vikt|massa",
        "da": "vægt|masse", "nb": "vekt|masse", "pl": "waga|masa|ciężar", "pt": "peso|massa",
    },
    "thickness": {
        "en": "thickness|thick|thk", "de": "dicke|stärke", "fr": "épaisseur|ep", "es": "grosor|espesor|canto mm", "it":
        "spessore|spess", "nl": "dikte", "sv": "tjocklek", "da": "tykkelse", "nb": "tykkelse", "pl": "grubość",
        "pt": "espessura",
    },
    "alignment": {
        "en": "alignment|die axis|axis|die alignment|orientation|die|rotation", "de": "stempelstellung|achse|"
        "stempelachse|stellung|ausrichtung|prägung stellung", "fr": "axe|orientation|axe des coins|frappe", "es":
        "eje|alineación|orientación|reverso eje|ejes", "it": "asse|orientamento|asse coni|assi", "nl": "stempelstand|"
        "as|slag|muntslag|stand", "sv": "stämpelställning|axel", "da": "stempelstilling|akse", "nb": "stempelstilling|"
        "akse", "pl": "oś|ułożenie stempli|oś stempli", "pt": "eixo|alinhamento|reverso",
    },
    "grade": {
        "en": "grade|condition|cond|quality|state|gr|grading|cond grade|preservation|conditon|qual", "de":
        "erhaltung|erh|zustand|erhaltungsgrad|qualität|erhalt|erhaltungszustand|zust|erhaltungsstufe|güte|qual",
        "fr": "état|conservation|qualité|etat de conservation|grade|cons|conserv|qualite", "es": "conservación|"
        "estado|calidad|grado|cons|estado de conservación|conserv|estado conservación", "it": "conservazione|"
        "stato di conservazione|grado|cons|qualità|conserv|stato cons", "nl": "kwaliteit|conditie|conservering|kwal|"
        "staat van conservering|toestand|cond", "sv": "kvalitet|kondition|skick|kval|kvalité|grad", "da": "kvalitet|"
        "kval|stand|tilstand|kondition", "nb": "kvalitet|kval|tilstand|kondisjon|grad", "pl": "stan|stan zachowania|"
        "zachowanie|jakość|st zach|stan zach", "pt": "conservação|estado|estado de conservação|qualidade|grau|cons",
    },
    "grade_obverse": {
        "en": "obverse grade|obv grade|grade obverse|grade obv|obv|obverse|condition obverse|obv cond", "de":
        "erhaltung vs|erh vs|erhaltung vorderseite|vs|av|avers erhaltung|erhaltung avers|erh av|vorderseite|erhaltung "
        "av|zustand vs|erh vorderseite", "fr": "état avers|avers|conservation avers|etat av|av|etat avers", "es":
        "conservación anverso|anverso|anv|estado anverso", "it": "conservazione dritto|dritto|d", "nl":
        "kwaliteit voorzijde|voorzijde|vz kwaliteit|kwal vz|kwal voorzijde", "sv": "kvalitet åtsida|åtsida|kval "
        "åtsida", "da": "kvalitet forside|forside", "nb": "kvalitet advers|advers", "pl": "stan awers|awers|stan "
        "awersu", "pt": "estado anverso|conservação anverso",
    },
    "grade_reverse": {
        "en": "reverse grade|rev grade|grade reverse|grade rev|rev|reverse|condition reverse|rev cond", "de":
        "erhaltung rs|erh rs|erhaltung rückseite|rs|rv|revers erhaltung|erhaltung revers|erh rv|rückseite|erhaltung "
        "rv|zustand rs|erh rückseite", "fr": "état revers|revers|conservation revers|etat rv|etat revers", "es":
        "conservación reverso|rev|estado reverso", "it": "conservazione rovescio|rovescio|r", "nl":
        "kwaliteit keerzijde|keerzijde|kz kwaliteit|kwal kz|achterzijde|kwal keerzijde", "sv": "kvalitet frånsida|"
        "frånsida|kval frånsida", "da": "kvalitet bagside|bagside", "nb": "kvalitet revers|revers", "pl":
        "stan rewers|rewers|stan rewersu", "pt": "estado reverso|conservação reverso",
    },
    "quantity": {
        "en": "quantity|qty|count|number of pieces|pcs|pieces|how many|no of coins|amount|copies|nr pcs|number held|"
        "owned|q ty|no pieces", "de": "anzahl|menge|stückzahl|stk|stck|anz|bestand|vorhanden|exemplare|st|zahl|"
        "stück anzahl|anzahl stück", "fr": "quantité|nombre|qté|qte|nb|nombre de pieces|exemplaires|nbre|nb ex", "es":
        "cantidad|cant|número de piezas|uds|unidades|ejemplares", "it": "quantità|q tà|qta|numero pezzi|pezzi|qtà|"
        "n pezzi|copie", "nl": "aantal|hoeveelheid|stuks|aant|exemplaren", "sv": "antal|st|ant|stycken|exemplar", "da":
        "antal|stk|ant", "nb": "antall|stk|ant", "pl": "ilość|liczba|szt|sztuk|sztuki|ilość sztuk|egz", "pt":
        "quantidade|qtd|qt|exemplares",
    },
    "price": {
        "en": "price|price paid|cost|paid|purchase price|bought for|cost price|amount paid|paid for|cost paid|pd|"
        "purchase cost", "de": "preis|kaufpreis|bezahlt|einkaufspreis|ek|kosten|gezahlt|ankaufspreis|ek preis|"
        "einstand|anschaffungspreis|kaufpr|erwerbspreis|einstandspreis", "fr": "prix|prix d achat|coût|payé|prix paye|"
        "achat|prix achat|pa", "es": "precio|precio de compra|coste|pagado|precio compra|costo|compra precio|coste "
        "compra", "it": "prezzo|prezzo d acquisto|costo|pagato|prezzo acquisto|pr acquisto|speso|prezzo pagato", "nl":
        "prijs|aankoopprijs|betaald|kostprijs|inkoopprijs|aank prijs|inkoop|kosten", "sv": "pris|inköpspris|"
        "betalt|kostnad|köppris", "da": "pris|købspris|betalt|kostpris|indkøbspris", "nb": "pris|kjøpspris|betalt|"
        "innkjøpspris", "pl": "cena|cena zakupu|koszt|zapłacono|kupiono za|cena kupna", "pt": "preço|preço de compra|"
        "custo|pago|preço compra",
    },
    "price_currency": {
        "en": "price currency|paid in|cur|ccy|curr|purchase currency|currency paid|currency of price", "de":
        "währung preis|kaufwährung|preiswährung|whg|währ|währung kauf", "fr": "devise prix|devise achat|devise d "
        "achat|dev|monnaie achat", "es": "divisa compra|moneda compra|moneda de compra|moneda precio", "it": "valuta "
        "acquisto|valuta prezzo|val", "nl": "valuta aankoop|valuta prijs|munt prijs|val", "sv": "prisvaluta|valuta "
        "pris|inköpsvaluta", "da": "prisvaluta|valuta pris|købsvaluta", "nb": "prisvaluta|valuta pris", "pl": "waluta "
        "zakupu|waluta ceny", "pt": "moeda de compra|moeda compra",
    },
    "acquired_on": {
        "en": "acquired|acquired on|purchase date|bought|bought on|date acquired|date bought|date of purchase|"
        "acquisition date|date purchased|purchased|acq date|added|got|since|date added|when|bt", "de": "kaufdatum|"
        "erworben|erworben am|gekauft|gekauft am|datum|erwerbsdatum|ankauf|anschaffung|kauf|eingang|zugang|am|"
        "kauftag|ankaufsdatum|erworben wann|seit|datum kauf|kauf datum", "fr": "date d achat|acquis le|achat le|"
        "date achat|date d acquisition|acquise le|acheté le|acquisition|achetee le", "es": "fecha de compra|adquirido|"
        "fecha compra|fecha de adquisición|comprado|comprada|adquisición|fecha adq", "it": "data acquisto|acquistato "
        "il|data d acquisto|acquisto|data di acquisto|comprato il|acquistata il", "nl": "aankoopdatum|gekocht|"
        "gekocht op|datum|verworven|datum aankoop|verkregen|aank datum|aankoop", "sv": "inköpsdatum|köpt|förvärvad|"
        "datum|inköpt|köpdatum|förvärvsdatum|köpt den", "da": "købsdato|købt|erhvervet|dato|købt den|anskaffet", "nb":
        "kjøpsdato|kjøpt|ervervet|dato|anskaffet", "pl": "data zakupu|kupiono|nabyto|data nabycia|kupiona|"
        "data kupna|zakup", "pt": "data de compra|adquirido em|data compra|comprado em|aquisição|data de aquisição",
    },
    "acquired_from": {
        "en": "acquired from|bought from|source|dealer|seller|from|vendor|provenance|where bought|purchased from|"
        "supplier|origin source|bought at|bought where|obtained from|from whom", "de": "erworben von|händler|quelle|"
        "verkäufer|herkunft|gekauft bei|bei|von|bezugsquelle|provenienz|wo gekauft|lieferant|von wem|erworben bei|"
        "gekauft von|woher", "fr": "vendeur|provenance|source|acheté à|marchand|acquis de|achete chez|chez|origine|"
        "lieu d achat|fournisseur", "es": "vendedor|procedencia|origen|comprado a|proveedor|fuente|comerciante|"
        "comprada a|tienda", "it": "venditore|provenienza|fonte|acquistato da|fornitore|comprato da|da chi|"
        "negozio|acquistata da", "nl": "verkoper|herkomst|bron|gekocht van|gekocht bij|handelaar|leverancier|"
        "van|waar gekocht|provenance", "sv": "säljare|källa|köpt av|köpt hos|handlare|proveniens|köpt från|ursprung|"
        "inköpt av|från", "da": "sælger|kilde|købt af|købt hos|forhandler|proveniens|købt hvor|fra", "nb": "selger|"
        "kilde|kjøpt av|kjøpt hos|forhandler|proveniens|kjøpt fra", "pl": "sprzedawca|źródło|od kogo|skąd|pochodzenie|"
        "sprzedający|kupione od|zakup od|proweniencja", "pt": "vendedor|proveniência|origem|comprado a|fonte",
    },
    "place": {
        "en": "pocket|sheet|bag|row|case|compartment|cabinet drawer|safe|place|location|where kept|storage|box|album|tray|kept|stored|drawer|page|kept in|position|shelf|folder|"
        "cabinet|where|loc|slot|holder|binder|stored in", "de": "tasche|blatt|hülle|reihe|karton|schachtel|dose|kiste|mappe|tresor|nische|ort|lagerort|album|aufbewahrung|standort|schublade|"
        "kasten|fach|lager|box|platz|ablage|tableau|ordner|seite|schuber|aufbewahrungsort|münzkasten|lade", "fr":
        "case|casier|pochette|feuille|coffret|médaillier|rang|lieu|emplacement|rangement|album|boîte|classeur|plateau|tiroir|page|endroit|localisation|ou", "es": "funda|casilla|sobre|carpeta|bolsa|lugar|"
        "ubicación|álbum|caja|localización|bandeja|hoja|cajón|situación|página", "it": "foglio|casella|busta|astuccio|cartella|luogo|posizione|album|"
        "ubicazione|scatola|vassoio|raccoglitore|cassetto|pagina|dove|collocazione", "nl": "vak|vel|hoes|zakje|bak|kist|plaats|locatie|album|doos|"
        "opbergplaats|bewaarplaats|lade|map|cassette|blad|pagina|opslag", "sv": "blad|ficka|ask|kapsel|skåp|pärmsida|plats|förvaring|album|låda|"
        "placering|pärm|fack|sida|förvaringsplats", "da": "ark|lomme|kasse|skab|kassette|placering|sted|album|æske|opbevaring|skuffe|mappe|side|"
        "plads|boks", "nb": "ark|lomme|boks|skap|plassering|sted|album|eske|oppbevaring|skuff|perm|side", "pl": "kieszeń|karta|segregator|kaseta|kapsel|arkusz|przegródka|miejsce|album|pudełko|"
        "lokalizacja|klaser|szuflada|strona|przechowywanie|gdzie|pudło", "pt": "folha|bolsa|envelope|pasta|local|álbum|caixa|localização|"
        "gaveta|página|arrumação",
    },
    "accession": {
        "en": "accession|accession number|number|no|id|inventory|inventory number|inv no|ref no|item no|nr|inv|"
        "coin no|my no|coin id|item number|own number|serial|collection no|inventory no|lot no|acc no|own no", "de":
        "nr|nummer|inventarnummer|inv nr|lfd nr|inventar|id|lfdnr|inventarnr|laufende nummer|eigene nr|"
        "sammlungsnummer|münznr|samml nr|lfd|pos|invnr|münz nr|inventar nr|ifd nr", "fr": "numéro|n°|no inventaire|"
        "inventaire|référence interne|numéro d inventaire|num|n inv|n|ordre|n d ordre|no|n inventaire|nº|id", "es":
        "número|nº|inventario|número de inventario|id|num|n|no|n inventario|nº inventario|n orden", "it": "numero|n|"
        "inventario|numero d inventario|id|num|n inv|progressivo|nr|n progressivo|n inventario", "nl": "nummer|nr|"
        "inventarisnummer|inv nr|volgnummer|id|volgnr|inventarisnr|eigen nummer|eigen nr", "sv": "nummer|nr|"
        "inventarienummer|inv nr|löpnummer|id|löpnr|eget nr", "da": "nummer|nr|inventarnummer|løbenummer|id|løbenr|"
        "inv nr", "nb": "nummer|nr|inventarnummer|løpenummer|id|løpenr", "pl": "numer|nr|numer inwentarza|lp|l p|id|"
        "nr inw|nr inwentarzowy|numer inwentarzowy|poz", "pt": "número|nº|inventário|número de inventário|id|n",
    },
    "note": {
        "en": "variety|varieties|peculiarities|features|note|notes|remarks|remark|comment|comments|info|misc|details|memo|additional|other|extra|observations",
        "de": "variante|varianten|merkmale|details|bemerkung|bemerkungen|anmerkung|anmerkungen|notiz|notizen|kommentar|info|sonstiges|hinweis|bem|anm|"
        "zusatz|besonderheiten|hinweise|infos|besonderheit", "fr": "particularité|particularités|variante|détails|remarque|remarques|note|notes|commentaire|"
        "commentaires|observations|obs|observation|rem|divers|infos", "es": "variedad|variante|particularidades|detalles|nota|notas|observaciones|comentarios|"
        "comentario|obs|observación|otros", "it": "varietà|variante|particolarità|dettagli|nota|note|osservazioni|commenti|commento|annotazioni|oss|altro",
        "nl": "variant|varianten|details|kenmerken|opmerking|opmerkingen|notitie|notities|commentaar|bijzonderheden|opm|info|bijzonderheid|overig", "sv":
        "variant|varianter|detaljer|anmärkning|anteckning|kommentar|anm|notering|noteringar|övrigt|anteckningar|anmärkningar|kommentarer", "da":
        "variant|detaljer|bemærkning|bemærkninger|note|noter|kommentar|anm|kommentarer|bem", "nb": "variant|detaljer|merknad|merknader|notat|kommentar|"
        "notater|anm|kommentarer", "pl": "odmiana|wariant|szczegóły|uwagi|uwaga|notatki|komentarz|opis dodatkowy|notatka|inne|komentarze", "pt":
        "variedade|variante|detalhes|nota|notas|observações|comentários|obs|observação",
    },
    "title": {
        "en": "title|name|subject|theme|design|type|coin name|commemorative|occasion|motif|coin type|event|topic", "de":
        "bezeichnung|titel|name|motiv|thema|anlass|typ|ausgabe|ereignis|ausgabeanlass|münzname|gedenkanlass", "fr":
        "titre|nom|sujet|thème|type|intitulé|désignation|motif|libelle", "es": "título|nombre|tema|motivo|tipo|"
        "conmemoración|asunto|denominación título", "it": "titolo|nome|soggetto|tema|tipo|evento|motivo", "nl": "titel|"
        "naam|onderwerp|thema|type|benaming|gelegenheid|ontwerp", "sv": "titel|namn|motiv|tema|typ|benämning", "da":
        "titel|navn|motiv|tema|type|betegnelse", "nb": "tittel|navn|motiv|tema|type|betegnelse", "pl": "tytuł|nazwa|"
        "temat|motyw|typ|emisja|nazwa monety", "pt": "título|nome|tema|motivo|tipo",
    },
    "description": {
        "en": "description|desc|describe|appearance|descr|coin details", "de": "beschreibung|beschr|darstellung|"
        "aussehen|bild beschreibung|münzbild", "fr": "description|descriptif|desc|descr", "es": "descripción|desc|"
        "descripcion", "it": "descrizione|descr|desc", "nl": "omschrijving|beschrijving|omschr", "sv": "beskrivning|"
        "beskr", "da": "beskrivelse", "nb": "beskrivelse", "pl": "opis", "pt": "descrição|desc",
    },
    "legend": {
        "en": "legend|inscription|legends|text on coin|inscriptions|lettering", "de": "umschrift|inschrift|legende|"
        "aufschrift|beschriftung|schrift", "fr": "légende|inscription|legendes", "es": "leyenda|inscripción", "it":
        "leggenda|iscrizione|legenda|scritta", "nl": "omschrift|opschrift|legende|tekst", "sv": "inskrift|omskrift|"
        "text", "da": "indskrift|omskrift|påskrift", "nb": "innskrift|omskrift", "pl": "napis|legenda|inskrypcja",
        "pt": "legenda|inscrição",
    },
    "reference": {
        "en": "reference|ref|catalogue|catalog|catalogue number|catalog number|cat no|cat|km|references|y|"
        "km number|cat nr|km no|catalogue no|catalog no|literature", "de": "katalog|katalognummer|kat nr|referenz|"
        "literatur|zitat|j nr|km nr|kat|katalognr|katalog nr|lit|zitate", "fr": "catalogue|"
        "référence|ref|référence catalogue|n catalogue|réf|no cat|cat|num catalogue", "es": "catálogo|"
        "referencia|ref|número de catálogo|n catálogo|cat", "it": "catalogo|riferimento|rif|n catalogo|"
        "rif catalogo|bibliografia|rif cat", "nl": "catalogus|referentie|ref|catalogusnummer|cat nr|catalogusnr|"
        "literatuur", "sv": "katalog|referens|ref|katalognummer|katalognr|kat nr|litteratur", "da": "katalog|"
        "reference|ref|katalognummer|kat nr|katalognr", "nb": "katalog|referanse|ref|katalognummer", "pl":
        "katalog|numer katalogowy|nr kat|odnośnik|literatura|nr katalogowy", "pt": "catálogo|"
        "referência|ref|número de catálogo",
    },
    "worth": {
        "en": "value|worth|catalogue value|current value|market value|estimate|est value|cat value|value today|valuation|"
        "estimated value|book value|guide price|list price|value est|catalog value|current worth|est|present value",
        "de": "wert|katalogwert|marktwert|schätzwert|aktueller wert|schätzung|katalogpreis|sammlerwert|zeitwert|listenpreis|"
        "kat wert|wert heute|schätzpreis|handelswert|geschätzter wert|wert aktuell", "fr": "valeur|cote|estimation|valeur "
        "actuelle|valeur estimée|valeur catalogue|valeur marchande|valeur estimee", "es": "valor|valor actual|estimación|"
        "valor de catálogo|tasación|valor estimado|cotización|valor mercado|valor catálogo", "it": "valore|valore attuale|"
        "stima|valore di catalogo|quotazione|valore stimato|valore catalogo|valore di mercato", "nl":
        "waarde|cataloguswaarde|actuele waarde|schatting|marktwaarde|geschatte waarde|waarde nu|cat waarde|taxatie|"
        "huidige waarde", "sv": "värde|katalogvärde|marknadsvärde|uppskattat värde|värdering|värde idag|kat värde", "da":
        "værdi|katalogværdi|markedsværdi|vurdering|anslået værdi|skønnet værdi", "nb": "verdi|katalogverdi|markedsverdi|anslått "
        "verdi|vurdering", "pl": "wartość|wycena|wartość katalogowa|szacunek|wartość rynkowa|szacunkowa wartość|"
        "wartość szacunkowa", "pt": "valor|valor atual|estimativa|valor de catálogo|cotação|valor de mercado",
    },
    "obverse_picture": {
        "en": "obverse picture|obverse photo|obverse image|obv image|obv photo|photo obverse|photo obv|image obverse|"
        "picture obverse|img obv|obv pic", "de": "bild vs|foto vs|bild vorderseite|foto vorderseite|bild avers|foto "
        "avers|bild av|foto av|foto 1|bild 1|vs bild", "fr": "photo avers|image avers|photo av|image av", "es":
        "foto anverso|imagen anverso", "it": "foto dritto|immagine dritto|foto d", "nl": "foto voorzijde|afbeelding "
        "voorzijde|foto vz", "sv": "foto åtsida|bild åtsida", "da": "foto forside|billede forside", "nb": "foto "
        "advers|bilde advers", "pl": "zdjęcie awers|zdjęcie awersu|foto awers", "pt": "foto anverso|imagem anverso",
    },
    "reverse_picture": {
        "en": "reverse picture|reverse photo|reverse image|rev image|rev photo|photo reverse|photo rev|image reverse|"
        "picture reverse|img rev|rev pic", "de": "bild rs|foto rs|bild rückseite|foto rückseite|bild revers|foto "
        "revers|bild rv|foto rv|foto 2|bild 2|rs bild", "fr": "photo revers|image revers|photo rv|image rv", "es":
        "foto reverso|imagen reverso", "it": "foto rovescio|immagine rovescio|foto r", "nl": "foto keerzijde|"
        "afbeelding keerzijde|foto kz|foto achterzijde", "sv": "foto frånsida|bild frånsida", "da": "foto bagside|"
        "billede bagside", "nb": "foto revers|bilde revers", "pl": "zdjęcie rewers|zdjęcie rewersu|foto rewers",
        "pt": "foto reverso|imagem reverso",
    },
    "picture": {
        "en": "picture|photo|image|file|picture file|pic|image file|photo file|filename|scan|img|pictures|photos", "de":
        "bild|foto|abbildung|bilddatei|scan|datei|bilder|fotos|bildname", "fr": "image|photo|fichier|fichier photo|"
        "illustration|scan", "es": "imagen|foto|archivo|fotografía|fichero", "it": "immagine|foto|file|fotografia",
        "nl": "afbeelding|foto|bestand|plaatje|scan", "sv": "bild|foto|fil|bildfil", "da": "billede|foto|fil", "nb":
        "bilde|foto|fil", "pl": "zdjęcie|obraz|plik|foto|skan", "pt": "imagem|foto|ficheiro|fotografia",
    },
    "spare": {
        "en": "spare|swap|duplicate|trade|for trade|dup|double|doubles|swaps|for swap|spares|duplicates|to swap|dupe",
        "de": "doppelt|tausch|dublette|dubletten|zum tausch|tauschstück|abzugeben|tauschbar|doppel|übrig", "fr":
        "double|doublon|à échanger|echange|doubles|doublons", "es": "repetida|repetido|cambio|duplicado|para cambio|"
        "intercambio|repe|duplicada", "it": "doppio|doppione|scambio|da scambiare|doppia|doppioni|scambiabile", "nl":
        "dubbel|ruilen|te ruil|dubbele|ruil|ruilbaar", "sv": "dubblett|byte|dubbel|bytes|till byte", "da": "dublet|"
        "bytte|dobbelt|til bytte", "nb": "dublett|bytte|dobbel|til bytte", "pl": "dublet|na wymianę|wymiana|podwójna|"
        "duplikat|do wymiany", "pt": "repetida|repetido|troca|duplicado|para troca",
    },
    "visibility": {
        "en": "visibility|visible|who may see it|public|private|share|shared", "de": "sichtbarkeit|sichtbar|"
        "öffentlich|privat|freigabe|sichtbar für", "fr": "visibilité|visible|public|prive", "es": "visibilidad|"
        "visible|público|privado", "it": "visibilità|visibile|pubblico|privato", "nl": "zichtbaarheid|zichtbaar|"
        "openbaar|privé", "sv": "synlighet|synlig|offentlig", "da": "synlighed|synlig|offentlig", "nb": "synlighet|"
        "synlig", "pl": "widoczność|widoczne|publiczne", "pt": "visibilidade|visível",
    },
    "status": {
        "en": "status|held or sold|availability", "de": "status|verbleib|verfügbarkeit", "fr":
        "statut|situation", "es": "situación actual|estatus", "it": "status|situazione", "nl": "status", "sv": "status",
        "da": "status", "nb": "status", "pl": "status", "pt": "situação",
    },
}  # fmt: skip
_BRACKETS = re.compile(r"\(.*?\)|\[.*?\]")


def _laid_out() -> tuple[dict[str, list[str]], dict[str, list[str]]]:
    fields: dict[str, list[str]] = defaultdict(list)
    languages: dict[str, list[str]] = defaultdict(list)
    for name, by_language in _HEADINGS.items():
        for language, words in by_language.items():
            for word in map(_plain, words.split("|")):
                if name not in fields[word]:
                    fields[word].append(name)
                if language not in languages[word]:
                    languages[word].append(language)
    return fields, languages


def _plain(text: str) -> str:
    folded = (
        fold(text.replace("#", " nr ").replace("№", " nr ").replace("Nº", " nr ")) or text.strip()
    )
    return folded if text.strip() not in ("Ø", "ø", "∅", "⌀") else "diameter"


_FIELDS, _LANGUAGES = _laid_out()
_MANY = {"note", "title", "description"}


@lru_cache(maxsize=5_000)
def named_by(heading: str) -> dict[str, float]:
    """How well a heading names each field, those alone that it may name."""
    bare = _plain(_BRACKETS.sub(" ", heading)) or _plain(heading)
    if bare in _FIELDS:
        return dict.fromkeys(_FIELDS[bare], 1.0 if len(_FIELDS[bare]) == 1 else 0.85)
    whole = _plain(heading)
    if whole in _FIELDS:
        return dict.fromkeys(_FIELDS[whole], 0.9)
    if read_currency(heading.strip(" ."), "") or bare in ("kr", "fr", "ft"):
        return {"price": 0.8, "worth": 0.6}
    return _by_words(bare.split())


def _by_words(words: list[str]) -> dict[str, float]:
    """By the longest run of words that is a heading itself; by a long word that begins with one."""
    found: dict[str, float] = {}
    for length in range(len(words), 0, -1):
        for start in range(len(words) - length + 1):
            for name in _FIELDS.get(" ".join(words[start : start + length]), ()):
                if length > 1 or len(words[start]) > 1:
                    share = length / len(words)
                    found.setdefault(name, round(0.45 + 0.4 * share - 0.05 * (start > 0), 2))
    if not found and len(words) == 1 and len(words[0]) >= 3:
        for known, names in _FIELDS.items():
            if len(known) >= 5 and known.startswith(words[0]) and known.isalpha():
                found.update({name: 0.6 for name in names if name not in found})
    return found


def language_of(headings: Iterable[str]) -> str:
    """The language in which most headings stand; "" where none is known."""
    votes: Counter[str] = Counter()
    for heading in headings:
        bare = _plain(_BRACKETS.sub(" ", heading))
        for word in {bare, *(each for each in bare.split() if len(each) > 3)}:
            known = _LANGUAGES.get(word, [])
            votes.update({language: 1 / len(known) for language in known})
    return max(LANGUAGES, key=lambda each: votes[each]) if votes else ""
