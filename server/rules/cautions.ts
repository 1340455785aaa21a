/** What can hurt someone around a print, for the job ticket. Each defers to who knows: data sheets, codes, licensed practice. */
export interface Caution {
  readonly about: string;
  readonly text: string;
}

export const CAUTIONS: readonly Caution[] = [
  {
    about: "Cure",
    text: "Cure by the ink maker's data sheet, and measure the temperature that the ink film itself reaches; the dryer's setting is not proof. Under-cured ink washes out; over-heated garments and ink can scorch, smoke or burn.",
  },
  {
    about: "Heat and ventilation",
    text: "Flash units, dryers and platens burn: guard them, and let them cool before work on them. Run the exhaust that the makers of ink and dryer ask for; local codes say how air may be led out.",
  },
  {
    about: "Discharge",
    text: "Discharge inks give off formaldehyde and sulphur compounds while they are mixed, flashed and cured: ventilate as their safety data sheets ask, mix no more than a shift needs, never close an activated bucket tightly, and wash the garments before babies or people with sensitive skin wear them.",
  },
  {
    about: "UV",
    text: "Exposure lamps harm eyes and skin: keep the unit closed while it is lit and follow its maker's instructions.",
  },
  {
    about: "Solvents and emulsion",
    text: "Handle inks, emulsions, sensitisers, strippers and solvents by their safety data sheets: gloves, goggles, ventilation, no flames. Collect waste and rinse water as local codes ask.",
  },
  {
    about: "Children's wear",
    text: "Garments for children fall under rules of their own (heavy metals, phthalates, flammability, small parts). Print them only with inks whose maker certifies them for that use, and have them tested where the law asks for it.",
  },
  {
    about: "Electricity and machines",
    text: "Installation and repair of presses, dryers and exposure units are for licensed people; lock machines out before reaching into them.",
  },
];
