// An element with a text, which is never read as markup.

export function element(name, content, className) {
  const made = document.createElement(name);
  if (content !== undefined) made.textContent = content;
  if (className) made.className = className;
  return made;
}
