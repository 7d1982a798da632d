// Names that a file system keeps for devices, with or without an ending. [common practice]
const RESERVED = /^(con|prn|aux|nul|com\d|lpt\d)$/;
const LONGEST = 60;

/**
 * A free text name made safe to name a file on any system: small letters, digits and single hyphens, at most 60, never
 * empty, never a reserved name. Accents are dropped; letters of other scripts are left out.
 *
 * @example safeFileStem("../../Harbour shunter №3") // "harbour-shunter-3"
 */
export function safeFileStem(name: string): string {
  const plain = name
    .slice(0, 1000)
    .normalize("NFD")
    .replace(/[\u0300-\u036f'’]+/g, "")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .slice(0, LONGEST)
    .replace(/^-+|-+$/g, "");
  if (plain === "") return "unnamed";
  return RESERVED.test(plain) ? `${plain}-engine` : plain;
}
