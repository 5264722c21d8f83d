// Runs axe on the page, with the contrast of one text for each way of showing text that is not known to stand out.
async ([options, known]) => {
  const MARK = 'data-contrast';
  const passed = new Set(known), waiting = new Map(), grounds = new Map();

  // what lies under an element, from the root down, and whether any of it is placed out of the flow
  const groundOf = (element) => {
    if (!element) return { under: '', placed: false };
    if (!grounds.has(element)) {
      const { under, placed } = groundOf(element.parentElement), style = getComputedStyle(element);
      const own = [style.backgroundColor, style.backgroundImage, style.opacity, style.filter, style.mixBlendMode].join();
      grounds.set(element, {
        under: own === 'rgba(0, 0, 0, 0),none,1,none,normal' ? under : `${under}/${own}`,
        placed: placed || !['static', 'relative'].includes(style.position),
      });
    }
    return grounds.get(element);
  };
  const shows = (element) => {
    const says = [...element.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.data.trim());
    return (says || element.matches('input, select, textarea')) && element.getClientRects().length > 0;
  };
  const wayOf = (element) => {
    const style = getComputedStyle(element), ground = groundOf(element);
    return [ground.under, style.color, style.fontSize, style.fontWeight, style.textShadow, element.disabled].join(';');
  };

  for (const element of document.body.querySelectorAll('*')) {
    if (!shows(element)) continue;
    const way = wayOf(element);
    if (groundOf(element).placed) element.setAttribute(MARK, '');
    else if (!passed.has(way)) {
      if (!waiting.has(way)) element.setAttribute(MARK, '');
      waiting.set(way, [...(waiting.get(way) ?? []), element]);
    }
  }
  const ways = new Map([...waiting].flatMap(([way, elements]) => elements.map((element) => [element, way])));
  const violations = [];
  const look = async (asked) => {
    const found = await axe.run(asked);
    for (const { id, help, nodes } of found.violations) {
      violations.push(`${id}: ${help}: ${nodes.slice(0, 4).map(({ target, html }) => `${target} ${html.slice(0, 160)}`)}`);
    }
    const { nodes } = found.passes.find(({ id }) => id === 'color-contrast') ?? { nodes: [] };
    for (const { element } of nodes) if (ways.has(element)) passed.add(ways.get(element));
  };

  axe.configure({ rules: [{ id: 'color-contrast', selector: `[${MARK}]` }] });
  await look(options);
  // where axe could not decide about the one, it looks at all the others
  const left = [...waiting].filter(([way]) => !passed.has(way)).flatMap(([, elements]) => elements.slice(1));
  for (const element of document.querySelectorAll(`[${MARK}]`)) element.removeAttribute(MARK);
  if (left.length > 0) {
    for (const element of left) element.setAttribute(MARK, '');
    await look({ ...options, runOnly: { type: 'rule', values: ['color-contrast'] } });
    for (const element of left) element.removeAttribute(MARK);
  }
  return { violations, passed: [...passed] };
}
