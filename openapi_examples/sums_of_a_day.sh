#!/usr/bin/env bash
# The sums of a day with a resinate and a varnish, in the order in which they come up.
# BASE names the server, KEY a key that may read (none is needed where the operator opens the sums).
# Every figure asked for with as=value is one number, the same that a spreadsheet cell gets with
#   =NUMBERVALUE(WEBSERVICE("http://…/v1/calculations/flow-cup?cup=ISO2431-4&seconds=62&as=value");".")
# All weighings are invented. The sums take over no care: fume hood, gloves, goggles, no flame.
set -euo pipefail

# ask NAME FIGURE input=value …: the bare figure of a calculation
ask() {
    local name=$1 figure=$2 sent=()
    shift 2
    for input in "$@"; do sent+=(--data-urlencode "$input"); done
    curl -sS --fail-with-body -G "$BASE/v1/calculations/$name" ${KEY:+-H "Authorization: Bearer $KEY"} \
        "${sent[@]}" --data-urlencode as=value --data-urlencode "figure=$figure"
}
# say WORDS VALUE: numbers to five digits, which is more than any weighing here carries
say() {
    local shown=$2
    [[ $2 =~ ^-?[0-9]+\.[0-9]+$ ]] && shown=$(printf '%.5g' "$2")
    printf '%-66s %s\n' "$1" "$shown"
}

echo "== Morning: zinc resinate, precipitated"
AN=$(ask acid-value value sample_ml=5.95 titrant_mol_l=0.5 mass_g=1.005)
say "acid number of the rosin, from 5.95 ml of 0.5 mol/l, mg KOH/g" "$AN"
LYE=$(ask soap-base base_g mass_g=250 acid_number="$AN" base=NaOH purity_percent=98.5)
say "sodium hydroxide of 98.5 % for 250 g of rosin, g" "$LYE"
LYE=$(ask round-to-step value value="$LYE" step=0.1)
say "weighed on the 0.1 g balance, g" "$LYE"
ALKALI=$(ask alkali-charged value mass_g="$LYE" base=NaOH purity_percent=98.5)
SALT=$(ask precipitation-salt salt_g alkali_mol="$ALKALI" salt=ZnSO4.7H2O purity_percent=99)
say "zinc sulfate heptahydrate of 99 % for that alkali, g" "$SALT"
CAN_BE=$(ask precipitated-resinate product_g mass_g=250 acid_number="$AN" salt=ZnSO4.7H2O)
say "resinate this can make, washed and dry, g" "$CAN_BE"
say "dried: 262.4 g, which is of the theory, %" "$(ask batch-yield yield_percent charged_g="$CAN_BE" taken_out_g=262.4)"
say "zinc found by ash: 0.1058 g of ZnO from 1.000 g, %" "$(ask metal-from-ash metal_percent ash_g=0.1058 sample_g=1.000 oxide=ZnO)"

echo "== Midday: varnish from it"
say "oil to resin, 400 g linseed on 200 g resinate" "$(ask oil-length ratio oils=400:0.930 resins_g=200 "basis=as charged")"
say "oil in the binder, %" "$(ask oil-length oil_percent oils=400:0.930 resins_g=200 "basis=as charged")"
say "manganese drier of 6 % for 0.05 % on the oil, g" "$(ask drier-dose drier_g basis_g=400 basis=oil metal=Mn target_percent=0.05 drier_metal_percent=6)"
say "hot volume of the oil at 280 °C beside the cold" "$(ask expansion expansion_ratio density_20_kg_l=0.930 temperature_c=280 slope_kg_m3_k=0.67)"
say "kettle of 5 l filled at 280 °C, %" "$(ask kettle-fill fill_percent charges=400:0.930:0.67 charges=200:1.07:0.67 kettle_ml=5000 hottest_c=280 work=foaming)"
HEAT=$(ask heat-needed heat_kj charges=400:2.1:0 charges=200:2.0:0 start_c=20 end_c=280)
say "heat to 280 °C, kJ" "$HEAT"
say "on a 1500 W plate that gives half of it, min" "$(ask heating-time minutes heat_kj="$HEAT" power_w=1500 efficiency_percent=50)"
say "cook of 30 min at 260 and 45 min at 280 °C as minutes at 280 °C" "$(ask equivalent-cook-time minutes steps=30:260 steps=45:280 reference_c=280 activation_energy_kj_mol=120)"
say "turpentine goes in no hotter than, °C" "$(ask pour-limit limit_c initial_boiling_point_c=150 autoignition_c=253)"
say "thinner for 55 % non-volatile in 590 g of cooked varnish, g" "$(ask thinner-to-non-volatile add_g mass_g=590 non_volatile_percent=100 target_percent=55)"
say "62 s in the 4 mm cup, mm2/s" "$(ask flow-cup viscosity_mm2_s cup=ISO2431-4 seconds=62)"

echo "== Evening: what it is"
WATER=$(ask water-density value temperature_c=20)
DENSITY=$(ask pyknometer-density density_kg_l empty_g=32.1045 water_g=82.0150 sample_g=77.0021 water_density_kg_l="$WATER")
DENSITY=$(ask round-to-digits value value="$DENSITY" digits=4)
say "density by pyknometer, kg/l" "$DENSITY"
NV=$(ask non-volatile non_volatile_percent dish_g=25.1032 dish_and_wet_g=26.1187 dish_and_dry_g=25.6641)
NV=$(ask round-to-digits value value="$NV" digits=3)
say "non-volatile, %" "$NV"
say "VOC ready to use, g/l" "$(ask voc-ready-to-use voc_ready_to_use_g_l density_kg_l="$DENSITY" non_volatile_percent="$NV")"
say "beside the limit for trim varnishes (subcategory e), a finding and no approval" "$(ask eu-voc-comparison finding subcategory=e density_kg_l="$DENSITY" non_volatile_percent="$NV")"
SOLIDS=$(ask volume-solids volume_solids_percent_vol density_kg_l="$DENSITY" non_volatile_percent="$NV" solvent_density_kg_l=0.79)
say "solids by volume, %" "$SOLIDS"
say "wet film for 30 µm dry, µm" "$(ask wet-film wet_um dry_um=30 volume_solids_percent_vol="$SOLIDS")"
say "a litre covers at 30 µm, m2" "$(ask spreading-rate spreading_m2_l volume_solids_percent_vol="$SOLIDS" dry_um=30)"

echo "== Jars"
say "to weigh into a 250 ml jar, g" "$(ask fill-mass value volume_ml=250 density_kg_l="$DENSITY")"
say "a single jar may fall short by, ml" "$(ask tolerable-negative-error tolerable nominal=250)"
say "the four jars filled: mean holds" "$(ask fill-check mean_holds nominal=250 fills=251.2 fills=250.4 fills=249.9 fills=250.6 packs=4)"
say "US net contents" "$(ask us-volume-declaration declaration volume_ml=250)"
say "lot number" "$(ask lot-number value prefix=SPAR year=2026 month=11 sequence=7)"
