"use strict";
// One moment of the flight, marked in the strips, in the profile and on the map alike.
(() => {
  const source = document.querySelector("script[type='application/x-moments+json']");
  if (!source) return;
  const flight = JSON.parse(source.textContent);
  const seconds = flight.utc.map(one => Date.parse(one.replace(" ", "T") + "Z"));
  const reading = document.querySelector(".reading");
  const pictures = {
    strips: at => [seconds[at], null],
    engine: at => [seconds[at], null],
    map: at => [flight.map[0][at], flight.map[1][at]],
    "profile-flown": at => [flight.along[at], flight.ft[at]],
  };
  const upright = ["strips", "engine"];  // over time: a moment is a line from top to bottom
  let now = 0;

  function place(node, x, y) {
    const {xaxis, yaxis} = node._fullLayout;
    return [xaxis._offset + xaxis.d2p(x), y === null ? null : yaxis._offset + yaxis.d2p(y)];
  }

  function marker(node) {
    let mark = node.querySelector(".moment");
    if (!mark) {
      mark = document.createElement("div");
      mark.className = "moment";
      node.append(mark);
    }
    return mark;
  }

  function words(at) {
    const parts = [flight.utc[at].slice(11) + "Z"];
    const units = [["ft", "ft"], ["kt", "kt over the ground"], ["ias", "kt indicated"], ["deg", "° true"]];
    for (const [name, unit] of units) {
      const value = flight[name][at];
      if (value !== null) parts.push(name === "deg" ? `track ${value}${unit}` : `${value.toLocaleString("en-US")} ${unit}`);
    }
    return parts.join(", ");
  }

  function show(at) {
    now = Math.max(0, Math.min(seconds.length - 1, at));
    reading.textContent = words(now);
    for (const [name, where] of Object.entries(pictures)) {
      const node = document.getElementById("picture-" + name);
      if (!node || !node._fullLayout) continue;
      const [x, y] = where(now), mark = marker(node);
      const known = x !== null && (upright.includes(name) || y !== null);
      mark.style.display = known ? "" : "none";
      if (!known) continue;
      const [left, top] = place(node, x, y);
      mark.classList.toggle("upright", upright.includes(name));
      mark.style.left = left + "px";
      if (top !== null) mark.style.top = top + "px";
    }
  }

  function nearest(name, node, event) {
    const frame = node.getBoundingClientRect();
    const across = event.clientX - frame.left, down = event.clientY - frame.top;
    let best = 0, least = Infinity;
    for (let at = 0; at < seconds.length; at += 1) {
      const [x, y] = pictures[name](at);
      if (x === null || (name === "map" && y === null)) continue;
      const [left, top] = place(node, x, name === "map" ? y : null);
      const far = name === "map" ? Math.hypot(left - across, top - down) : Math.abs(left - across);
      if (far < least) [best, least] = [at, far];
    }
    return best;
  }

  for (const name of Object.keys(pictures)) {
    const node = document.getElementById("picture-" + name);
    if (!node) continue;
    node.addEventListener("pointermove", event => { if (node._fullLayout) show(nearest(name, node, event)); });
  }
  const strips = document.getElementById("picture-strips");
  if (strips) {
    strips.tabIndex = 0;
    strips.addEventListener("keydown", event => {
      const step = {ArrowLeft: -1, ArrowRight: 1}[event.key];
      if (!step) return;
      event.preventDefault();
      show(now + step * (event.shiftKey ? 60 : 5));
    });
  }
  // The pictures are drawn anew by their own handler, which was there first.
  addEventListener("resize", () => { if (reading.textContent) show(now); });
})();
