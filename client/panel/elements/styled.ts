import { noChange } from "lit";
import { Directive, directive, type ElementPart, type PartInfo, PartType } from "lit/directive.js";

type Styles = Readonly<Record<string, string>>;

/** Sets an element's style through its object: the page's security policy refuses the attribute. */
class Styled extends Directive {
  #before: Styles = {};

  constructor(part: PartInfo) {
    super(part);
    if (part.type !== PartType.ELEMENT) throw new Error("styled() stands in a tag");
  }

  render(_styles: Styles) {
    return noChange;
  }

  override update(part: ElementPart, [styles]: [Styles]) {
    const { style } = part.element as HTMLElement;
    for (const name of Object.keys(this.#before)) if (!(name in styles)) style.removeProperty(name);
    for (const [name, value] of Object.entries(styles))
      if (this.#before[name] !== value) style.setProperty(name, value);
    this.#before = styles;
    return noChange;
  }
}

/** CSS properties, in CSS's own spelling, of the element in whose tag it stands. */
export const styled = directive(Styled);
