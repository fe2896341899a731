// What printers' files hold beyond RS-274: checksums, messages, extended commands, and strangers.

#include <doctest/doctest.h>

#include "one_line.hpp"

namespace beadwise::tests {

TEST_CASE("a checksum is the XOR of every byte before the asterisk") {
  CHECK(read("N10 G92 X0 Y0 Z0 A0 B0*107") == "G92 X0 Y0 Z0 A0 B0 *right");
  CHECK(read("N0 M106*36") == "M106 *right");
  CHECK(read("N1 G28*18") == "G28 *right");
  CHECK(read("N2 M107*39") == "M107 *right");
  CHECK(read("N3 T0*57") == "T0 *right");
  CHECK(read("N0 M106 *4") == "M106 *right");  // 36 XOR the blank, 32
  CHECK(read("N1 G28*18 ; home") == "G28 *right ;< home>");
  CHECK(read("N1 G28 * 50") == "G28 *right");  // 18 XOR 32
  CHECK(read("N2*124") == "blank *right");     // 'N' XOR '2'
}

TEST_CASE("a line with a wrong checksum is told so and still read") {
  CHECK(read("N0 M106*37") == "M106 *wrong");
  CHECK(read("N0 M106*292") == "M106 *wrong");  // 36 + 256
  CHECK(read("N0 M106*99999999999999999999") == "M106 *wrong");
}

TEST_CASE("an asterisk that is no checksum is stray text") {
  CHECK(read("G1 X1 *") == "G1 X1 !stray<*>");
  CHECK(read("G1 X1 *5 foo") == "G1 X1 !stray<*5 foo>");
  CHECK(read("G1 X1 *5 Y2") == "G1 X1 Y2 !stray<*5>");
  CHECK(read("G1 X[2*5]") == "G1 !word<X[2*5]>");
  CHECK(read("G1 X1 ; *18") == "G1 X1 ;< *18>");
}

TEST_CASE("comments: whichever opens first holds") {
  CHECK(read("G1 X1 ; (a) b") == "G1 X1 ;< (a) b>");
  CHECK(read("G1 (a ; b) X1") == "G1 X1 ;<a ; b>");
  CHECK(read("G1 (a)(b) X1 ; c") == "G1 X1 ;<a>");
  CHECK(read(";") == "blank ;<>");
  CHECK(read("; \xFF\x01 \xC3\xA9 any") == "blank ;< \xFF\x01 \xC3\xA9 any>");
  CHECK(read(std::string_view("G1 ;a\0b", 7)) == std::string("G1 ;<a\0b>", 9));
}

TEST_CASE("a line of blanks, a line number alone and nothing are blank") {
  CHECK(read(" \t \xC2\xA0") == "blank");
  CHECK(read("N10") == "blank");
  CHECK(read("\n") == "blank");
}

TEST_CASE("a line number stands at the start; an N elsewhere is no word") {
  CHECK(read("  n20 g1 x1") == "G1 X1");
  CHECK(read("N-1 M110") == "M110");
  CHECK(read("M110 N0") == "M110");
  CHECK(read("M1006 A0 B10 L100 E0 F10 N60") == "M1006 A0 B10 L100 E0 F10");
}

TEST_CASE("a no-break space, a plus sign and a bare point are read") {
  CHECK(read("G1\xC2\xA0X+5\xC2\xA0Y-.8 Z5. E+.5") == "G1 X5 Y-0.8 Z5 E0.5");
  CHECK(read("  X10Y20") == "X10 Y20");
  CHECK(read("x 10 y 20") == "X10 Y20");
}

TEST_CASE("a NUL or another control character in the code is stray text, and the words around it hold") {
  CHECK(read(std::string_view("G1 X1\0Y2", 8)) == std::string("G1 X1 Y2 !stray<\0>", 18));
  CHECK(read("G1 X1 \x1A") == "G1 X1 !stray<\x1A>");
}

TEST_CASE("a letter alone is a bare word") {
  CHECK(read("G28 X Y") == "G28 X Y");
  CHECK(read("G 28 W") == "G28 W");
  CHECK(read("G28 X;home") == "G28 X ;<home>");
  CHECK(read("G28 Z P0 T300; home") == "G28 Z P0 T300 ;< home>");
  CHECK(read("M620 S0A") == "M620 S0 A");
}

TEST_CASE("axes glued to one another behind a command are bare words; other letters are not") {
  CHECK(read("M84 XYE") == "M84 X Y E");
  CHECK(read("M84 XYZE") == "M84 X Y Z E");
  CHECK(read("G28 XY Z5") == "G28 X Y Z5");
  CHECK(read("G28 XYZ0") == "G28 X Y Z0");
  CHECK(read("M84 XQ") == "M84 !stray<XQ>");
}

TEST_CASE("behind an M code a bare G or M is a flag and no command") {
  CHECK(read("M620 M ;revert") == "M620 ;<revert>");
}

TEST_CASE("a value that is no number is told, and the line's other words hold") {
  CHECK(read("G1 X5 F{speed} Y6") == "G1 X5 Y6 !word<F{speed}>");
  CHECK(read("G1 F{speed * (2)}X5") == "G1 X5 !word<F{speed * (2)}>");
  CHECK(read("G1 Z15.0 F?max_z_speed? ;up") == "G1 Z15 !word<F?max_z_speed?> ;<up>");
  CHECK(read("G1 X[1 + [2]]Y5") == "G1 Y5 !word<X[1 + [2]]>");
  CHECK(read("G1 X- Y5") == "G1 Y5 !word<X->");
  CHECK(read("G1 XNaN Y-inf Zinf E5") == "G1 E5 !word<XNaN> !word<Y-inf> !word<Zinf>");
  CHECK(read("XNaN Y5") == "Y5 !word<XNaN>");
  CHECK(read("G1 Y..5 X1") == "G1 X1 !word<Y..5>");
  CHECK(read("G1 X1.2.3 Y2") == "G1 Y2 !word<X1.2.3>");
  CHECK(read("G1 X1,5 Y2") == "G1 Y2 !word<X1,5>");
  CHECK(read("X10 Y{y}") == "X10 !word<Y{y}>");
  CHECK(read("G1 X" + std::string(400, '9') + " Y1") == "G1 Y1 !word<X" + std::string(400, '9') + ">");
}

TEST_CASE("a bracket that does not close ends at the next blank") {
  CHECK(read("G1 F{speed Y5") == "G1 Y5 !word<F{speed>");
  CHECK(read("G1 F[speed ; ]") == "G1 !word<F[speed> ;< ]>");
}

TEST_CASE("a word that is not read still takes its letter: the first counts") {
  CHECK(read("G1 X{x} X5") == "G1 !word<X{x}> !repeated<X5>");
}

TEST_CASE("a quoted value is no number, and a semicolon in it opens no comment") {
  CHECK(read("M98 P\"file.g\"") == "M98 !word<P\"file.g\">");
  CHECK(read("M98P\"a b;c\"X5 ; d") == "M98 X5 !word<P\"a b;c\"> ;< d>");
  CHECK(read("M98 P\"a\"\"b;\" X5") == "M98 X5 !word<P\"a\"\"b;\">");
  CHECK(read("M98 P\"open ;c") == "M98 !word<P\"open> ;<c>");
}

TEST_CASE("a line whose command has no number is left out whole") {
  CHECK(read("G{x} Y5 ; c") == "unread !command<G{x} Y5> ;< c>");
  CHECK(read("GOX100") == "unread !command<GOX100>");
  CHECK(read("GO X100") == "unread !command<GO X100>");
  CHECK(read("N7 gl X5 Y.5 ; c") == "unread !command<gl X5 Y.5> ;< c>");
  CHECK(read("Go to X100") == "unread !stray<Go to X100>");
  CHECK(read("Go X100 now") == "unread !stray<Go X100 now>");
  CHECK(read("M{code} S4") == "unread !command<M{code} S4>");
  CHECK(read("  N5 X1 T{tool}") == "unread !command<X1 T{tool}>");
  CHECK(read("T?") == "unread !command<T?>");
  CHECK(read("T") == "unread !command<T>");
  CHECK(read("G X5") == "unread !command<G X5>");
  CHECK(read("G1 X5 M") == "unread !command<G1 X5 M>");
}

TEST_CASE("prose and merge marks are left out whole") {
  CHECK(read("heat the bed to 60") == "unread !stray<heat the bed to 60>");
  CHECK(read("hello world") == "unread !stray<hello world>");
  CHECK(read(" to release some of the pressure") == "unread !stray<to release some of the pressure>");
  CHECK(read("a big cat") == "unread !stray<a big cat>");
  CHECK(read("CUBE 5") == "unread !stray<CUBE 5>");
  CHECK(read("<<<<<<< HEAD") == "unread !stray<<<<<<<< HEAD>");
  CHECK(read("=======") == "unread !stray<=======>");
  // The name of a commit would read as F5 E6 A7.
  CHECK(read(">>>>>>> 4f5e6a7 fix") == "unread !stray<>>>>>>> 4f5e6a7 fix>");
  CHECK(read("12.5, 30.1") == "unread !stray<12.5, 30.1>");
}

TEST_CASE("text behind words is stray, and the words hold") {
  CHECK(read("X 1 Y 2 foo") == "X1 Y2 !stray<foo>");
  CHECK(read("M106 fan on") == "M106 !stray<fan on>");
  CHECK(read("{if x} G1 X5 {endif}") == "G1 X5 !stray<{if x}> !stray<{endif}>");
}

TEST_CASE("messages have no checksum and no words but their code") {
  CHECK(read("M117 *Heating*") == "message M117 text<*Heating*>");
  CHECK(read("M117 10 of 20 (mm) *7 ; x") == "message M117 text<10 of 20 (mm) *7> ;< x>");
  CHECK(read("N5 m117Layer 3") == "message M117 text<Layer 3>");
  CHECK(read("M117") == "message M117");
  CHECK(read("M118 P0 G1 X5") == "message M118 text<P0 G1 X5>");
  CHECK(read("M23 1.gco") == "message M23 text<1.gco>");
  CHECK(read("M28 file.g") == "message M28 text<file.g>");
  CHECK(read("M32 !/a b#") == "message M32 text<!/a b#>");
  CHECK(read("M928 log.txt") == "message M928 text<log.txt>");
  CHECK(read("M552 P192.168.1.14") == "message M552 text<P192.168.1.14>");
}

TEST_CASE("M30 is the end of the program, and with text the name of a file") {
  CHECK(read("M30") == "M30");
  CHECK(read("M30 ; end") == "M30 ;< end>");
  CHECK(read("M30 (end)") == "M30 ;<end>");
  CHECK(read("N5 M30*21") == "M30 *right");
  CHECK(read("M30 old.g") == "message M30 text<old.g>");
  CHECK(read("M115 U3.1.0") == "message M115 text<U3.1.0>");
  CHECK(read("M115") == "M115");
}

TEST_CASE("names, packed data and sentences are arguments and no words") {
  CHECK(read("M1002 judge_flag g39_3rd_layer ; c") == "M1002 text<judge_flag g39_3rd_layer> ;< c>");
  CHECK(read("M1002 gcode_claim_action : 3") == "M1002 text<gcode_claim_action : 3>");
  CHECK(read("M624 AQAAAAAAAAA=") == "M624 text<AQAAAAAAAAA=>");
  CHECK(read("M624 4AAAAAAAAAA=") == "M624 text<4AAAAAAAAAA=>");
  CHECK(read("M0 Fit the G10 sheet and press OK") == "M0 text<Fit the G10 sheet and press OK>");
  CHECK(read("M0 P1000") == "M0 P1000");
}

TEST_CASE("extended commands are a name and its arguments") {
  CHECK(read("PRINT_START BED=60 MSG=\"a;b\" ; c") == "extended name<PRINT_START> text<BED=60 MSG=\"a;b\"> ;< c>");
  CHECK(read("print_end") == "extended name<print_end>");
  CHECK(read("G1_FAST now") == "extended name<G1_FAST> text<now>");
  CHECK(read("PAUSE") == "extended name<PAUSE>");
  CHECK(read("PAUSE (now)") == "extended name<PAUSE> ;<now>");
  CHECK(read("RESPOND MSG=hi") == "extended name<RESPOND> text<MSG=hi>");
  CHECK(read("OBJECT_DEFINE NAME=a(1) POLYGON=[[1,2],[3,4]]") ==
        "extended name<OBJECT_DEFINE> text<NAME=a(1) POLYGON=[[1,2],[3,4]]>");
  CHECK(read("SET_NAME NAME=caf\xC3\xA9") == "extended name<SET_NAME> text<NAME=caf\xC3\xA9>");
  CHECK(read("N5 END_PRINT*26") == "extended name<END_PRINT> *right");
  CHECK(read("N5 END_PRINT*33") == "extended name<END_PRINT> *wrong");
  CHECK(read("@pause after X5 ; x") == "extended name<pause> text<after X5> ;< x>");
  CHECK(read("@") == "unread !stray<@>");
}

TEST_CASE("words in a line are no name of an extended command") {
  CHECK(read("X10Y20") == "X10 Y20");
  CHECK(read("X10 Y20 Z=5") == "X10 Y20 !word<Z=5>");
  CHECK(read("NOZZLE5") == "unread !stray<NOZZLE5>");
  CHECK(read("TOOL1") == "unread !command<TOOL1>");
  CHECK(read("START2") == "extended name<START2>");
}

TEST_CASE("one line may hold several G words, and a letter twice") {
  CHECK(read("G00Y0G1F4000X0Y0Z11.7") == "G0 Y0 G1 F4000 X0 Z11.7 !repeated<Y0>");
}

TEST_CASE("commands that only look like others keep their words") {
  CHECK(read("G10 P0 S195") == "G10 P0 S195");
  CHECK(read("G10 L20 P1 X0") == "G10 L20 P1 X0");
  CHECK(read("G3 I-3.2 J0 Z.4 E1") == "G3 I-3.2 J0 Z0.4 E1");
}

TEST_CASE("the column of a word is that of its letter, in bytes from 1") {
  const ParsedBlock parsed = read_block("\xC2\xA0 G1  X5");
  CHECK(parsed.line(0).words[0].column == 4);
  CHECK(parsed.line(0).words[1].column == 8);
  CHECK(first_trouble("G1 X1 F{f}").column == 7);
  CHECK(first_trouble("G1 X1 F{f}").length == 4);
}

}  // namespace beadwise::tests
