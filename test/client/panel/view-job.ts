import type { PanelJob } from "../../../server/wire/panel.ts";

export const lab = { L: 50, a: 0, b: 0 };
export const screening = { method: "am", rulingLpi: 45, angle: 22.5, dot: "round" } as const;
/** A job of two garments, as the page is told of it. */
export const job: PanelJob = {
  title: "A job",
  widthMm: 100,
  garments: [
    { name: "black", colour: { L: 8, a: 0, b: 0 }, hex: "#17171a" },
    { name: "white", colour: { L: 95, a: 0, b: 0 }, hex: "#f4f3ef" },
  ],
  inks: [
    { name: "white", colour: lab, hex: "#ffffff", opacity: 0.9, film: { colour: lab, opacity: 0.9 } },
    { name: "ember", colour: lab, hex: "#d8431f", opacity: 0.7, film: { colour: lab, opacity: 0.7 } },
  ],
  plates: [
    { name: "base", ink: "white", purpose: "underbase", screening },
    { name: "rose", ink: "ember", purpose: "colour", foldedInto: "pink", screening },
    { name: "pink", ink: "ember", purpose: "colour", foldedInto: "ember", screening },
    { name: "ember", ink: "ember", purpose: "colour", screening },
  ],
  setups: [
    {
      name: "dark",
      garments: ["black"],
      order: [{ plate: "base" }, "flash", { plate: "ember" }],
      n: 1,
      gains: {},
    },
    { name: "light", garments: ["white"], order: [{ plate: "ember" }], n: 1, gains: {} },
    { name: "other", garments: ["white"], order: [{ plate: "ember" }, "cool-down"], n: 1, gains: {} },
  ],
  regions: [],
  compensated: true,
  smallestDot: 0,
  misregistrationMm: 0.1,
  filmDpi: 1200,
  unknownInks: [],
  unit: "mm" as const,
};
