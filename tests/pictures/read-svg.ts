/** An element of a picture that was read back. */
export interface SvgNode {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: SvgNode[];
  /** Text directly in it. */
  text: string;
}

// [source: W3C, Extensible Markup Language (XML) 1.0, fifth edition, productions 2, 10, 40, 42, 66 and 68]
const forbidden = /[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/u;
const startTag = /^<([A-Za-z_][\w:.-]*)((?:\s+[A-Za-z_][\w:.-]*="[^"<]*")*)\s*(\/?)>/;
const endTag = /^<\/([A-Za-z_][\w:.-]*)\s*>/;
const entities: Record<string, string> = { amp: "&", lt: "<", gt: ">", quot: '"', "#39": "'" };

/** Reads XML strictly, as far as a picture needs it: declaration, elements, attributes, text. @throws Error where it is not well formed */
export function readSvg(xml: string): SvgNode {
  const bad = forbidden.exec(xml);
  if (bad !== null) throw new Error(`character ${bad[0].codePointAt(0)} at ${bad.index} may not stand in XML`);
  let rest = xml.replace(/^<\?xml version="1\.0" encoding="UTF-8"\?>\s*/, "");
  const root: SvgNode = { name: "", attributes: {}, children: [], text: "" };
  const open = [root];
  while (rest !== "") {
    const top = open.at(-1)!;
    const end = endTag.exec(rest);
    const start = startTag.exec(rest);
    if (end !== null) {
      if (open.length < 2 || end[1] !== top.name) throw new Error(`</${end[1]}> closes <${top.name}>`);
      open.pop();
      rest = rest.slice(end[0].length);
    } else if (start !== null) {
      const node: SvgNode = { name: start[1]!, attributes: attributesOf(start[2]!), children: [], text: "" };
      top.children.push(node);
      if (start[3] === "") open.push(node);
      rest = rest.slice(start[0].length);
    } else {
      const text = /^[^<]+/.exec(rest)?.[0];
      if (text === undefined) throw new Error(`no tag: ${rest.slice(0, 60)}`);
      if (open.length === 1 && text.trim() !== "") throw new Error(`text outside the root: ${text.slice(0, 60)}`);
      top.text += plain(text);
      rest = rest.slice(text.length);
    }
  }
  if (open.length !== 1) throw new Error(`<${open.at(-1)!.name}> is never closed`);
  if (root.children.length !== 1) throw new Error(`${root.children.length} roots`);
  return root.children[0]!;
}

function attributesOf(text: string): Record<string, string> {
  const found: Record<string, string> = {};
  for (const [, key, value] of text.matchAll(/([A-Za-z_][\w:.-]*)="([^"<]*)"/g)) {
    if (key! in found) throw new Error(`${key} stands twice`);
    found[key!] = plain(value!);
  }
  return found;
}

function plain(text: string): string {
  return text.replace(/&([^;&]*;?)/g, (whole, name: string) => {
    const meant = entities[name.slice(0, -1)];
    if (!name.endsWith(";") || meant === undefined) throw new Error(`${whole} is no entity`);
    return meant;
  });
}

/** An element and all in it, in the order of the page. */
export function allNodes(node: SvgNode): SvgNode[] {
  return [node, ...node.children.flatMap(allNodes)];
}

/** Elements of a class. */
export function ofClass(node: SvgNode, name: string): SvgNode[] {
  return allNodes(node).filter(({ attributes }) => (attributes.class ?? "").split(" ").includes(name));
}

/** All words of a picture. */
export function allText(node: SvgNode): string {
  return allNodes(node)
    .map(({ text }) => text)
    .join("\n");
}
