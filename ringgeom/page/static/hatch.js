// A hatching for each alloy, for paper without colour.

import { svg } from "./tongue.js";

const LINES = [[45, 6], [135, 6], [45, 8, 135, 8], [0, 5], [90, 5], [0, 8, 90, 8], [20, 4], [160, 4]];

export function patterns(name) {
  return svg("defs", {}, ...LINES.map((angles, number) => {
    const apart = angles[1];
    const lines = angles.length > 2 ? `M0 0H${apart}M0 0V${apart}` : `M0 0H${apart}`;
    return svg("pattern", { id: `${name}-hatch-${number}`, width: apart, height: apart, patternUnits: "userSpaceOnUse", patternTransform: `rotate(${angles[0]})` },
      svg("path", { d: lines, stroke: "#000", "stroke-width": 0.7, fill: "none" }));
  }));
}
