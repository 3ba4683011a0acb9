const lineEnds = new Set(['P', 'DIV', 'LI', 'TR', 'H1', 'H2', 'H3', 'H4', 'CAPTION', 'DT', 'DD', 'SECTION', 'FIGURE', 'SUMMARY']);

/** Makes of a copied piece of the page what may leave: as on paper, without drawings and the full numbers that elements carry. */
export function outsideForm(piece: DocumentFragment): DocumentFragment {
  for (const inside of piece.querySelectorAll('.inside, .reading, svg, script, style, input, button, select, textarea')) inside.remove();
  for (const element of piece.querySelectorAll('*')) {
    for (const { name } of [...element.attributes]) if (name.startsWith('data-') || name.startsWith('aria-') || name === 'class' || name === 'style' || name === 'id' || name === 'title') element.removeAttribute(name);
  }
  return piece;
}

/** Cells apart by tabs, rows and paragraphs by line ends. */
export function plainText(node: Node): string {
  if (node.nodeType === Node.TEXT_NODE) return node.textContent ?? '';
  const inner = [...node.childNodes].map(plainText).join('');
  if (node.nodeName === 'TD' || node.nodeName === 'TH') return `${inner}\t`;
  return lineEnds.has(node.nodeName) ? `${inner.replace(/\t$/, '')}\n` : inner;
}
