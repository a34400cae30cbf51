/** Text as XML 1.0 (W3C Recommendation, fifth edition) holds it. */

/** What is no `Char` (production 2): most control characters, halves of surrogate pairs, U+FFFE and U+FFFF. */
const NO_CHAR = /[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/gu;

/** References of section 4.6, and those for white space that an attribute would turn into plain blanks (3.3.3). */
const REFERENCES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  '\t': '&#9;',
  '\n': '&#10;',
  '\r': '&#13;',
};

/** An attribute's value between double quotes. What XML cannot hold at all stands as U+FFFD, the replacement character. */
export function attributeValue(text: string): string {
  return text.replace(NO_CHAR, '\ufffd').replace(/[&<>"\t\n\r]/g, (letter) => REFERENCES[letter] ?? letter);
}
