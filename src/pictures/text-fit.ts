// A picture cannot ask how wide its words will be, so it counts them a little wide. Shares of the type size, from the
// widths of a wide grotesque. [common practice: type tables]
const NARROW = 0.36;
const USUAL = 0.63;
const CAPITAL = 0.75;
const WIDE = 1;
const BOLD_RATIO = 1.12;

/** Width to allow for a line of text, in the unit of `size`: rather too much than too little. */
export function textWidth(text: string, size: number, isBold = false): number {
  let width = 0;
  for (const character of text) width += size * characterWidth(character);
  return isBold ? BOLD_RATIO * width : width;
}

function characterWidth(character: string): number {
  if (/[ijl.,:;'|!·]/.test(character)) return NARROW;
  if (/[ ftr()/\-°]/.test(character)) return 0.5 * (NARROW + USUAL);
  if (/[mwMW%@]/.test(character) || character > "\u02ff") return WIDE;
  return /[A-Z]/.test(character) ? CAPITAL : USUAL;
}

/** `text`, cut with an ellipsis where it would be wider than `width`. */
export function fitted(text: string, size: number, width: number, isBold = false): string {
  if (textWidth(text, size, isBold) <= width) return text;
  const characters = [...text];
  while (characters.length > 0 && textWidth(`${characters.join("")}...`, size, isBold) > width) characters.pop();
  return `${characters.join("").trimEnd()}...`;
}

/** Words broken into lines of at most `width`; a word that is wider stands alone, cut. */
export function wrapped(text: string, size: number, width: number, isBold = false): string[] {
  const lines: string[] = [];
  let line = "";
  for (const word of text.split(" ")) {
    const longer = line === "" ? word : `${line} ${word}`;
    if (line === "" || textWidth(longer, size, isBold) <= width) {
      line = longer;
    } else {
      lines.push(line);
      line = word;
    }
  }
  if (line !== "") lines.push(line);
  return lines.map((one) => fitted(one, size, width, isBold));
}
