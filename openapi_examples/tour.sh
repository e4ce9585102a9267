#!/usr/bin/env bash
# The whole job in 25 calls: BASE and KEY name the server and a key with every scope.
# Each line prints what the service assumed. All data is invented.
set -euo pipefail

P() {
    curl -sS --fail-with-body -X "${4:-POST}" "$BASE/v1/$1" -H "Authorization: Bearer $KEY" \
        -H "If-Match: *" -H "Content-Type: application/json" -d "$2" | jq -r "${3:-.assumed}"
}

P workshop '{"name":"Withy Reach Oar Finishes (invented)","address":"The Boat Shed","telephone":"+44 1632 960123","zone":"Europe/London","currency":"EUR","markets":["eu"]}' .zone PATCH
P starters '{"take":["materials","scales","protocols"]}'
P people '{"code":"MB","name":"M. B."}'
P imports/equipment '[{"code":"KETTLE-2","kind":"kettle","holds":"12 l"},{"code":"BAL-6KG","kind":"balance","reads_to":"1 g"}]'
P imports/materials '[{"code":"RESIN-ZN","kind":"intermediate","family":"resinate","lot_prefix":"RESZN"},{"code":"SPAR","kind":"finished"},
  {"code":"JAR-250","kind":"container","holds":"250 ml","tare":"151 g"},{"code":"LID-63","kind":"closure"}]'
P receipts '{"from":"invented supplier","on":"2026-08-20","lines":[{"material":"ROSIN","amount":"5 kg","price":"18.50"},{"material":"ZNO","amount":"500 g","price":"9.10"},
  {"material":"OIL-LIN","amount":"5 kg","price":"31.00"},{"material":"OIL-TUNG","amount":"3 kg","price":"48.00"},{"material":"WSPIRIT","amount":"10 l","price":"29.00"},
  {"material":"JAR-250","amount":100,"price":"41.00"},{"material":"LID-63","amount":100,"price":"9.00"}]}'
P recipes '{"code":"RESIN-ZN","lines":[{"material":"ROSIN","parts":100},{"material":"ZNO","parts":5}],"steps":[{"heat":"250 °C"},{"hold":"60 min","until":"clear on glass"}]}'
P recipes '{"code":"SPAR","lines":[{"material":"RESIN-ZN","parts":1},{"material":"OIL-LIN","parts":1.2},{"material":"OIL-TUNG","parts":0.8},{"material":"WSPIRIT","percent":40,"stage":"thin"}],
  "steps":[{"heat":"240 °C"},{"hold":"45 min","until":"string 3 cm"}]}'
P recipes/RESIN-ZN/approvals '{"by":"MB"}'
P recipes/SPAR/approvals '{"by":"MB"}'
P products '{"code":"SPAR","recipe":"SPAR","name":{"en":"Spar varnish, long oil"},"packs":[{"pack":"250ML","container":"JAR-250","closure":"LID-63","price":"24.00"}],
  "figures":{"density":{"value":"0.897","unit":"kg/l","basis":"measured","method":"pyknometer, 20 °C, earlier kettles"}}}'
R=$(P batches '{"recipe":"RESIN-ZN","for":"1.2 kg","kettle":"KETTLE-2","on":"2026-09-01"}' .batch)
P "batches/$R/pages" '{"on":"2026-09-01","by":"MB","lines":{"1":"1143","2":"57","3":"11:20","4":"60 min, clear"},"yield":"1.183 kg","finished":true}'
B=$(P batches '{"recipe":"SPAR","for":{"pack":"250ML","jars":24},"kettle":"KETTLE-2","on":"2026-09-15"}' .batch)
P equipment/KETTLE-2/cook-points '{"columns":["at","temperature_c"],"rows":[["2026-09-15T13:05:00+01:00",60],["2026-09-15T14:20:00+01:00",240],["2026-09-15T16:05:00+01:00",112]]}'
P "batches/$B/pages" '{"on":"2026-09-15","by":"MB","lines":{"1":"1098","2":"1317","3":"878","4":"2196","6":"string 3 cm"},"yield":"5.478 kg","finished":true}'
P "lots/$B/readings" '{"rows":{"flow_time":["62 s","61 s","63 s"],"density":"0.897 kg/l"},"methods":{"flow_time":"ISO 2431, cup 4, 23 °C","density":"pyknometer, 20 °C"},"on":"2026-09-17","by":"MB"}'
L=$(P "lots/$B/fills" '{"pack":"250ML","on":"2026-09-17","gross_g":[375.9,376.4,376.1,375.7,376.0,375.8,376.3,376.2,375.9,376.0,376.1,375.8,376.4,376.0,375.9,376.2,376.1,375.6,376.0,376.3,375.9,376.1,376.0,376.2]}' .lot)
P "lots/$L/labels" '{"by":"MB"}'
P "lots/$L/labellings" '{"printed":26,"used":24,"spoiled":2}'
P panels "{\"code\":\"P-26-014\",\"lot\":\"$B\",\"wood\":\"maple, sealed\",\"coats\":[{\"on\":\"2026-09-18\"},{\"on\":\"2026-09-19\"},{\"on\":\"2026-09-20\"}]}"
P panels/P-26-014/readings '{"protocol":"HANDLER","on":"2026-10-18","by":"MB","room":"21 °C, 48 %","rows":{"A1":"none","A2":"none","A3":"whitening, faint"}}'
P "lots/$L/releases" '{"with_bulk":true,"by":"MB"}' .sheet
curl -sS --fail-with-body "$BASE/l/$L.json" | jq -r '.saw[].text, .not_tried.text'
