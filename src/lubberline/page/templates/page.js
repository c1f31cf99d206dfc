"use strict";
// Draws the pictures in the inks of the paper, and lets each label take a place that is free.
(() => {
  const dark = matchMedia("(prefers-color-scheme: dark)");
  const pictures = [];

  function color(name) {
    if (typeof name !== "string" || name[0] !== "@") return name;
    const [ink, alpha] = name.slice(1).split("/");
    const value = getComputedStyle(document.documentElement).getPropertyValue("--" + ink).trim();
    if (alpha === undefined) return value;
    const parts = [1, 3, 5].map(at => parseInt(value.slice(at, at + 2), 16));
    return `rgba(${parts.join(",")},${alpha})`;
  }

  function inked(key, value) {
    if (!/color$/.test(key)) return value;
    return Array.isArray(value) ? value.map(color) : color(value);
  }

  function sized(layout, ratio, width) {
    const {l, r, t, b} = layout.margin;
    const most = Math.max(420, Math.min(width * 1.3, innerHeight * 0.85));
    const plot = Math.min(Math.max((width - l - r) * ratio, 190), most);
    return {...layout, width, height: Math.round(plot + t + b)};
  }

  function draw(picture) {
    const {node, text} = picture;
    picture.width = node.clientWidth;
    const figure = JSON.parse(text, inked);
    const layout = sized(figure.layout, figure.ratio, picture.width);
    Plotly.react(node, figure.data, layout, {displayModeBar: false, responsive: false})
      .then(() => settle(node, figure.labels, figure.data.at(-1).textposition));
  }

  // Each label takes, of its places that touch no other label and no mark, the one that the
  // fewest lines run through; a label without such a place is left out.
  function settle(node, labels, sides) {
    const spots = [...node.querySelectorAll(".scatterlayer .textpoint")];
    const area = node.querySelector(".nsewdrag").getBoundingClientRect();
    const marks = [...node.querySelectorAll(".scatterlayer .point")].map(p => p.getBoundingClientRect());
    const taken = [];
    const inked = lines(node);
    let first = 0;
    for (const [count, within, gap] of labels) {
      const bounds = within ? part(area, within) : area;
      let best = null, least = Infinity;
      for (let at = first; at < first + count; at += 1) {
        spots[at].style.display = "";
        spots[at].style.transform = beside(spots[at], sides[at], gap);
        const box = spots[at].getBoundingClientRect();
        spots[at].style.display = "none";
        if (!inside(box, bounds) || marks.some(mark => touch(box, mark, 1))
          || taken.some(other => touch(box, other, 6))) continue;
        const crossed = inked.filter(([x, y]) =>
          x > box.left && x < box.right && y > box.top && y < box.bottom).length;
        if (crossed < least) [best, least] = [[spots[at], box], crossed];
      }
      if (best) { best[0].style.display = ""; taken.push(best[1]); }
      first += count;
    }
    node.dataset.settled = "yes";
  }

  // The library's own shift to that side of the place, and the gap.
  function beside(spot, side, gap) {
    const [up, along] = side.split(" ");
    const across = {left: -1, center: 0, right: 1}[along], down = {top: -1, middle: 0, bottom: 1}[up];
    const step = across && down ? gap * 0.6 : gap;
    const own = (spot.getAttribute("transform") || "").match(/-?[\d.]+/g) || [0, 0];
    return `translate(${+own[0] + across * step}px, ${+own[1] + down * step}px)`;
  }

  function lines(node) {
    const points = [];
    for (const line of node.querySelectorAll(".scatterlayer .js-line")) {
      if (parseFloat(line.style.strokeWidth) === 0) continue;
      const matrix = line.getScreenCTM(), length = line.getTotalLength();
      for (let along = 0; along <= length; along += 8) {
        const {x, y} = line.getPointAtLength(along).matrixTransform(matrix);
        points.push([x, y]);
      }
    }
    return points;
  }

  function part(area, [left, low, right, top]) {
    return {
      left: area.left + Math.max(left, 0) * area.width,
      right: area.left + Math.min(right, 1) * area.width,
      top: area.bottom - Math.min(top, 1) * area.height,
      bottom: area.bottom - Math.max(low, 0) * area.height,
    };
  }

  function inside(box, bounds) {
    return box.left >= bounds.left - 1 && box.right <= bounds.right + 1
      && box.top >= bounds.top - 1 && box.bottom <= bounds.bottom + 1;
  }

  function touch(one, other, apart) {
    return one.left < other.right + apart && other.left < one.right + apart
      && one.top < other.bottom + apart / 3 && other.top < one.bottom + apart / 3;
  }

  for (const data of document.querySelectorAll("script[type='application/json']")) {
    const picture = {node: document.getElementById("picture-" + data.dataset.picture), text: data.textContent};
    pictures.push(picture);
    draw(picture);
  }
  for (const button of document.querySelectorAll(".larger-button")) {
    button.addEventListener("click", () => {
      const sheet = button.parentElement.querySelector(".sheet");
      const larger = sheet.classList.toggle("larger");
      button.textContent = larger ? "Smaller map" : "Larger map";
      pictures.filter(one => sheet.contains(one.node)).forEach(draw);
    });
  }
  dark.addEventListener("change", () => pictures.forEach(draw));
  // On paper: light inks, and as wide as the narrowest common sheet.
  function print(on) {
    document.documentElement.toggleAttribute("data-printing", on);
    for (const picture of pictures) {
      picture.node.style.width = on ? "700px" : "";
      draw(picture);
    }
  }
  addEventListener("beforeprint", () => print(true));
  addEventListener("afterprint", () => print(false));
  addEventListener("resize", () => {
    for (const picture of pictures) if (picture.node.clientWidth !== picture.width) draw(picture);
  });
})();
