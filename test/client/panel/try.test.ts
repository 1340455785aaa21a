import { it } from "vitest";
import { launch } from "./chromium.ts";
import { TestPanel } from "./harness.ts";

it("shows", async () => {
  const browser = await launch();
  const panel = await TestPanel.open(browser);
  try {
    await panel.painted();
  } catch (e) {
    console.log(e);
  }
  await panel.screenshot("try-dark");
  console.log(
    panel.complaints,
    panel.sent.map((m) => m.kind),
    panel.received,
    panel.said,
  );
  await panel.close();
  await browser.close();
});
