#include "diagnose/symptom_words.hpp"

#include <array>

namespace beadwise {

namespace {

using enum Symptom;

// How people put it, from common practice at repair desks. What is named beside the symptom (letters, a bed, a tube)
// counts less than what is wrong with it.
constexpr auto table = std::to_array<SymptomWords>({
    {stringing, 3, "string|strings|stringy|stringing|stringed"},
    {stringing, 3, "hair*|whisker*|cobweb*|web|webs|webbing|spiderweb*|spider|wisp*|fuzz|fuzzy|fluff*|gossamer*"},
    {stringing, 3, "thin|fine line*|strand*|plastic|filament between"},
    {stringing, 2, "thread*"},
    {stringing, 2, "ooz*|dribbl*"},
    {stringing, 1, "drip*|strand*"},

    {clogging, 3, "clog*|jam|jams|jammed|jamming"},
    {clogging, 3, "block* nozzle|hotend|end|extruder"},
    {clogging, 3, "nothing com*|extrud*|flow*|out|nozzle"},
    {clogging, 3, "not com* out"},
    {clogging, 2, "not filament|plastic|material|extrusion nozzle|out|extrud*|flow*"},
    {clogging, 2, "block|blocks|blocked|blocking|blockage"},
    {clogging, 2, "stop*|quit*|ceas* extrud*|feed*|flow*|extrusion"},
    {clogging, 2, "stop*|quit* com* out"},
    {clogging, 2, "not extrud*"},
    {clogging, 2, "print* air|nothing"},
    {clogging, 2, "stuck filament|nozzle|plastic"},
    {clogging, 1, "stop*|quit*|fail* halfway|half|middle|midway"},
    {clogging, 1, "grind*|ground|chew*|strip* filament|gear"},
    {clogging, 1, "click* extruder|drive|gear|motor"},

    {under_extrusion, 3, "underextru*"},
    {under_extrusion, 3, "under extru*"},
    {under_extrusion, 2, "not enough plastic|filament|material|extrusion|flow"},
    {under_extrusion, 2, "little|less plastic|filament|material|extrusion|flow"},
    {under_extrusion, 2, "gap*|hole*|slit* wall*|side*|perimeter*|shell*|line*"},
    {under_extrusion, 2, "thin|thinner|starved|skinny line*|bead*|wall*|extrusion*"},
    {under_extrusion, 2, "miss* layer*|line*|plastic|material|wall*"},
    {under_extrusion, 2, "starv*|underfill*|spong*|porous"},
    {under_extrusion, 2, "see through wall*|side*"},
    {under_extrusion, 2, "line*|bead* not touch*|join*"},
    {under_extrusion, 1, "skip* extruder|gear|drive|step*"},
    {under_extrusion, 1, "grind*|ground|chew*|strip* filament|gear"},
    {under_extrusion, 1, "click* extruder|gear|drive|motor"},
    {under_extrusion, 1, "gap*|hole*"},

    {blobs, 3, "blob*|zit|zits|pimple*|wart*|booger*|nub|nubs"},
    {blobs, 3, "overextru*"},
    {blobs, 3, "over extru*"},
    {blobs, 2, "lump*|nodul*|glob|globs|drops|droplet*"},
    {blobs, 2, "bump* wall*|side*|corner*|seam*|outside|surface"},
    {blobs, 2, "bulg* corner*|wall*|seam*"},
    {blobs, 2, "much plastic|filament|material|flow"},
    {blobs, 1, "bump*|bulg*|seam*|drip*"},

    {weak_layers, 3, "delaminat*"},
    {weak_layers, 3, "layer* separat*|split*|part|parting|apart|crack*|peel*"},
    {weak_layers, 3, "layer* not bond*|fuse*|weld*|adher*"},
    {weak_layers, 3, "layer* not stick* together|another|other"},
    {weak_layers, 2, "snap*|break|breaks|broke|broken layer*"},
    {weak_layers, 2, "split|splits|splitting|snap|snaps|snapped|breaks|brittle|fragile"},
    {weak_layers, 2, "crack* open"},
    {weak_layers, 2, "weak layer*|part*|print*|piece*"},
    {weak_layers, 2, "fall*|fell|come*|came|pull* apart"},
    {weak_layers, 1, "weak|crack|cracks|cracked|crumbl*"},

    {illegible_text, 3, "illegib*|unreadab*"},
    {illegible_text, 3, "not|hard|difficult read*|legib*"},
    {illegible_text, 3, "letter*|text*|writing|words|font*|numbers|digits|lettering run|runs|running together"},
    {illegible_text, 3,
     "letter*|text*|writing|words|font*|numbers|digits|lettering|names "
     "blur*|merge*|mush*|smear*|smudg*|fill*|clos*|melt*|unclear|swallow*|torn|broken|missing|mess*|ugly|bad|thin|"
     "gap*|hole*|incomplete"},
    {illegible_text, 1, "letter*|text*|writing|font*"},

    {scarring, 3, "scar|scars|scarred|scarring|scratch*|gouge*"},
    {scarring, 3, "nozzle|head drag*|scrap*|rub*|plough*|plow*"},
    {scarring, 2, "drag* mark*|line*|part|print|top"},
    {scarring, 2, "scrap*|groov*"},
    {scarring, 2, "line*|mark*|trail* across|over top|surface|lid|face|roof"},
    {scarring, 1, "nozzle|head hit*|bump*|touch*|crash*|catch*"},

    {rough_top, 3, "pillow*"},
    {rough_top, 3,
     "top|tops|roof*|lid|upper rough|gap*|hole*|open|bumpy|uneven|ugly|ridg*|unfinish*|spong*|coarse|pits|pitted"},
    {rough_top, 3, "top|tops|roof*|lid|upper see through"},
    {rough_top, 3, "top|tops|roof*|lid|upper not clos*|smooth|fill*"},
    {rough_top, 1, "rough"},

    {rough_first_layer, 3,
     "bottom|underside|base|lowest rough|gap*|hole*|ridg*|uneven|ugly|open|wavy|waves|bumpy|coarse|torn|messy|groov*"},
    {rough_first_layer, 3,
     "first layer* rough|gap*|hole*|ridg*|uneven|ugly|open|wavy|waves|bumpy|coarse|torn|messy|bad|poor|patchy"},
    {rough_first_layer, 3, "bed|plate side|face rough|gap*|hole*|ridg*|uneven|ugly|open"},
    {rough_first_layer, 3, "bottom|underside|base|lowest not smooth|clos*|fill*|even"},
    {rough_first_layer, 3, "first layer* not smooth|clos*|fill*|even"},
    {rough_first_layer, 1, "first|bottom layer*"},
    {rough_first_layer, 1, "rough"},

    {knocked_loose, 3,
     "came|come*|coming|fell|fall*|pop*|broke|break*|tear*|tore|ripped|knock*|slid*|lift* "
     "bed|plate|buildplate|platform|table off|from|loose"},
    {knocked_loose, 3, "not stick*|stuck|adher* bed|plate|platform|table|first|down"},
    {knocked_loose, 3, "detach*|unstuck"},
    {knocked_loose, 3, "knock*|topple*|kick* over|loose|off"},
    {knocked_loose, 2, "fell|fall*|tip|tips|tipped|push* over"},
    {knocked_loose, 2, "bed|plate|platform adhes*"},
    {knocked_loose, 2, "not stick*|stuck|stay"},
    {knocked_loose, 2, "let|lets|letting go|loose"},
    {knocked_loose, 2, "came|come*|coming|broke|broken|work* loose"},
    {knocked_loose, 1, "came|come*|coming|pop*|fell|broke off"},
    {knocked_loose, 1, "nozzle|head hit*|bump*|crash*|catch*"},
    {knocked_loose, 1, "spaghetti|nest|shift*|adhes*"},

    {warping, 4,
     "corner*|edge*|ends|sides lift*|curl*|peel*|rais*|rise*|rising|up|off|loose|bent|bend*|came|come|coming|comes"},
    {warping, 3, "warp*"},
    {warping, 3, "curl* up|bed|plate"},
    {warping, 3, "not flat"},
    {warping, 2, "curl*|banana|bow|bowed|bowing|cupped|bent|bend*|twist*|shrink*|shrank|shrunk"},

    {sagging, 4,
     "overhang*|bridge*|bridging "
     "curl*|rough|bad|ugly|hang*|fall*|fail*|mess*|drop*|loop*|poor|rag*|broken|torn|collaps*|loose"},
    {sagging, 3, "sag*|droop*|slump*"},
    {sagging, 3, "collaps*|melt*|mushy|gooey|soft tip|tips|top|tower*|small|pin*|spire*|point*|steeple*"},
    {sagging, 2, "hang*|loop* down|under|below|loose|underneath"},
    {sagging, 2, "collaps*|melted|caved"},
    {sagging, 1, "overhang*|bridge*|bridging|spaghetti|nest|soft"},

    {tube_pushed_out, 4,
     "tube|hose|coupling|coupler|bowden|fitting "
     "pop*|push*|slip*|off|out|loose|jump*|came|come*|pull*|blew|shot|moves|creep*|releas*"},
    {tube_pushed_out, 1, "tube|hose|coupling|coupler|bowden|fitting"},

    {runout, 3, "ran|run|runs|running out"},
    {runout, 3, "runout"},
    {runout, 3, "spool|roll|reel empty|finish*|ended|ends|end|ran|bare"},
    {runout, 3, "filament|material|plastic ended|finished|gone"},
    {runout, 3, "not filament|material|plastic left|spool|remain*"},
    {runout, 3, "out of filament|material"},
    {runout, 1, "stop*|quit* halfway|half|middle|midway"},
});

}  // namespace

std::span<const SymptomWords> symptom_words() { return table; }

}  // namespace beadwise
