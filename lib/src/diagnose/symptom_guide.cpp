#include "diagnose/symptom_guide.hpp"

#include "beadwise/diagnose.hpp"

namespace beadwise {

std::span<const SymptomGuide> symptom_guides() {
  static const std::vector<SymptomGuide> guides = {
      {Symptom::stringing,
       "fine hairs, threads or webs across gaps",
       {"it strings", "hairs between the letters", "cobwebs between the pins"}},
      {Symptom::clogging,
       "filament stops coming; the gear clicks or grinds",
       {"clogs halfway", "stopped extruding", "nothing comes out of the nozzle"}},
      {Symptom::under_extrusion,
       "lines thin, broken or apart; walls with gaps",
       {"gaps in the walls", "lines too thin", "too little plastic"}},
      {Symptom::blobs,
       "lumps, warts or drops on walls and corners",
       {"blobs on the walls", "pimples along the seam", "too much plastic"}},
      {Symptom::weak_layers,
       "layers part or the part snaps along them",
       {"layers come apart", "snaps along the layers", "splits open"}},
      {Symptom::illegible_text,
       "letters run together, are torn or cannot be read",
       {"letters run together", "the text cannot be read", "numbers are blurred"}},
      {Symptom::scarring,
       "scratches and grooves across surfaces",
       {"scratches on top", "the nozzle drags over the part", "grooves across the lid"}},
      {Symptom::rough_top,
       "tops rough, open or pillowed",
       {"the top is rough", "holes in the top", "pillows on the roof"}},
      {Symptom::rough_first_layer,
       "the side on the plate is rough, ridged or open",
       {"the bottom looks rough", "gaps in the first layer", "ridges on the underside"}},
      {Symptom::knocked_loose,
       "the part, or a piece of it, comes off the plate",
       {"came off the bed", "does not stick", "knocked over"}},
      {Symptom::warping, "corners or ends lift; the base is not flat", {"corners lift", "it warped", "edges curl up"}},
      {Symptom::sagging,
       "bridges, overhangs or small tops hang, droop or melt",
       {"the bridge sags", "overhangs droop", "the small tip melted"}},
      {Symptom::tube_pushed_out,
       "the guide tube comes out of its coupling",
       {"the tube popped off", "tube pushed out", "the tube came out of the coupling"}},
      {Symptom::runout,
       "filament ends before the print does",
       {"ran out of filament", "the spool was empty", "no filament left"}},
  };
  return guides;
}

std::string_view seen_as(Symptom symptom) { return symptom_guides()[static_cast<std::size_t>(symptom)].seen; }

}  // namespace beadwise
