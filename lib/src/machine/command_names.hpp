#pragma once

#include <string>
#include <string_view>

namespace beadwise {

/// "G92.1", "M862.3": letter and number of a command given in tenths.
std::string command_name(char letter, int tenths);

/// Whether a command that is not followed may have heated, homed, switched something off or ended the job. False for
/// those that by common practice only set, show or save something.
bool may_act_unseen(char letter, int tenths);

/// The same for an extended command, by the words in its name.
bool may_act_unseen(std::string_view extended_name);

/// What a key of an extended command plainly says.
enum class KeyMeaning : unsigned char { none, nozzle_c, bed_c, chamber_c, acceleration_mm_per_s2, corner_mm_per_s };

/// `value` tells a temperature from a diameter where the key names only a part.
KeyMeaning meaning_of_key(std::string_view key, double value);

}  // namespace beadwise
