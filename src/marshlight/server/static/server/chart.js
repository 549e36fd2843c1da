// Charts over uPlot: measured points with bars, a model line, 50 and 95 % bands, events on one
// timeline, labels beside what they name. The page carries the same figures as a sentence and a
// table, so nothing here is needed to read it.
(() => {
  "use strict";

  const root = document.documentElement;
  const token = (name) => getComputedStyle(root).getPropertyValue(name).trim();
  const colours = () => ({
    ink: token("--peat"), soft: token("--peat-soft"), grid: token("--peat-line"),
    model: token("--reed"), wide: token("--band-wide"), near: token("--band-near"),
    event: token("--dusk"), ember: token("--ember"), ground: token("--paper-raised"),
  });
  const FONT = "12px system-ui, sans-serif";

  // ---- data ----

  function tables(view) {
    const out = [];
    if (view.bands) {
      const b = view.bands;
      out.push([b.day, b.low95, b.high95, b.low50, b.high50]);
    }
    if (view.line) out.push([view.line.day, view.line.value]);
    for (const p of view.points) out.push([p.day, p.value]);
    return out.length ? out : [[[0], [null]]];
  }

  function series(view, c) {
    const list = [{ label: "day" }];
    const quiet = { points: { show: false }, width: 0, stroke: "transparent", spanGaps: true };
    if (view.bands) for (const name of ["low95", "high95", "low50", "high50"]) list.push({ ...quiet, label: name });
    if (view.line) list.push({ label: view.line.label, stroke: c.model, width: 2, points: { show: false }, spanGaps: true });
    // Measured points are drawn by hand below: never a line from one reading to the next.
    for (const p of view.points) list.push({ ...quiet, label: p.label });
    if (list.length === 1) list.push(quiet);
    return list;
  }

  function reach(view, marks, today) {
    const days = [].concat(...tables(view).map((t) => t[0]), marks.map((m) => m.day));
    if (today !== null && today !== undefined) days.push(today);
    let low = Infinity, high = -Infinity;
    for (const d of days) { if (d < low) low = d; if (d > high) high = d; }
    if (!(high > low)) high = low + 1;
    return [Math.min(low, 0), high];
  }

  function heights(view, from, to) {
    let low = view.from_zero ? 0 : Infinity, high = -Infinity;
    const take = (v) => { if (v !== null && v !== undefined) { if (v < low) low = v; if (v > high) high = v; } };
    const seen = (days, values) => values.forEach((v, i) => { if (days[i] >= from && days[i] <= to) take(v); });
    for (const p of view.points) { seen(p.day, p.value); seen(p.day, p.low); seen(p.day, p.high); }
    if (view.line) seen(view.line.day, view.line.value);
    if (view.bands) { seen(view.bands.day, view.bands.low95); seen(view.bands.day, view.bands.high95); }
    view.guides.forEach((g) => take(g.value));
    (view.reach || []).forEach(take);
    if (!(high > low)) { high = (low || 0) + 1; }
    const pad = (high - low) * 0.06;
    return [view.from_zero && low >= 0 ? 0 : low - pad, high + pad];
  }

  // ---- drawing by hand, in canvas pixels ----

  function pencil(u, draw) {
    const ctx = u.ctx;
    ctx.save();
    ctx.beginPath();
    ctx.rect(u.bbox.left, u.bbox.top, u.bbox.width, u.bbox.height);
    ctx.clip();
    draw(ctx, devicePixelRatio, (d) => u.valToPos(d, "x", true), (v) => u.valToPos(v, "y", true));
    ctx.restore();
  }

  function drawPoints(u, points, colour, place) {
    pencil(u, (ctx, px, X, Y) => {
      ctx.strokeStyle = colour.ink;
      ctx.fillStyle = colour.ink;
      const few = points.day.length < 400;
      points.day.forEach((day, i) => {
        if (day < u.scales.x.min - 1 || day > u.scales.x.max + 1 || points.value[i] === null) return;
        const x = X(day), y = Y(points.value[i]);
        const middle = points.start.length ? (X(points.start[i]) + x) / 2 : x;
        if (points.low.length && few) {
          ctx.globalAlpha = points.day.length > 60 ? 0.35 : 1;
          ctx.lineWidth = px;
          ctx.beginPath();
          ctx.moveTo(middle, Y(points.low[i]));
          ctx.lineTo(middle, Y(points.high[i]));
          ctx.stroke();
          ctx.globalAlpha = 1;
        }
        if (points.start.length) {
          ctx.lineWidth = 2.5 * px;
          ctx.beginPath();
          ctx.moveTo(X(points.start[i]), y);
          ctx.lineTo(x, y);
          ctx.stroke();
        } else {
          // Each series has its own shape, so that none is told by colour alone.
          const r = (few ? 3 : 1.5) * px;
          ctx.beginPath();
          if (place === 2) ctx.rect(x - r, y - r, 2 * r, 2 * r);
          else ctx.arc(x, y, r, 0, 7);
          if (place === 0) ctx.fill();
          else { ctx.lineWidth = px; ctx.stroke(); }
        }
        if (points.at_least.length && points.at_least[i]) arrow(ctx, middle, y - 5 * px, px, colour.ember);
      });
    });
  }

  function arrow(ctx, x, y, px, colour) {
    ctx.save();
    ctx.fillStyle = colour;
    ctx.beginPath();
    ctx.moveTo(x, y - 7 * px);
    ctx.lineTo(x + 4 * px, y);
    ctx.lineTo(x - 4 * px, y);
    ctx.fill();
    ctx.restore();
  }

  function drawMarks(u, chart, colour) {
    pencil(u, (ctx, px, X) => {
      const top = u.bbox.top, floor = top + u.bbox.height;
      ctx.strokeStyle = colour.event;
      ctx.lineWidth = px;
      const inSight = chart.marks.filter((m) => m.day >= u.scales.x.min && m.day <= u.scales.x.max);
      for (const mark of inSight) {
        const x = X(mark.day);
        // Many long lines would be a wall in front of the readings: then the ticks alone must do.
        if (inSight.length <= 15) {
          ctx.globalAlpha = 0.3;
          ctx.beginPath(); ctx.moveTo(x, top); ctx.lineTo(x, floor - 10 * px); ctx.stroke();
          ctx.globalAlpha = 1;
        }
        ctx.fillStyle = colour.event;
        ctx.fillRect(x - 2 * px, floor - 10 * px, 4 * px, 10 * px);
      }
      if (chart.today !== null && chart.today !== undefined) {
        const x = X(chart.today);
        ctx.setLineDash([4 * px, 3 * px]);
        ctx.strokeStyle = colour.soft;
        ctx.beginPath(); ctx.moveTo(x, top); ctx.lineTo(x, floor); ctx.stroke();
        ctx.setLineDash([]);
        ctx.fillStyle = colour.soft;
        ctx.font = scaled(px);
        const flip = x > u.bbox.left + u.bbox.width - 45 * px;
        ctx.textAlign = flip ? "right" : "left";
        ctx.fillText("today", x + (flip ? -4 : 4) * px, top + 12 * px);
      }
    });
  }

  const scaled = (px) => FONT.replace("12px", `${12 * px}px`);

  function drawGuides(u, view, colour) {
    pencil(u, (ctx, px, X, Y) => {
      ctx.strokeStyle = colour.event;
      ctx.fillStyle = colour.event;
      ctx.font = scaled(px);
      // The axes leave their own alignment behind, which would push the words out of the plot.
      ctx.textAlign = "left";
      ctx.textBaseline = "alphabetic";
      ctx.setLineDash([2 * px, 4 * px]);
      for (const guide of view.guides) {
        const y = Y(guide.value);
        ctx.beginPath(); ctx.moveTo(u.bbox.left, y); ctx.lineTo(u.bbox.left + u.bbox.width, y); ctx.stroke();
        const under = y - 16 * px < u.bbox.top;
        ctx.fillText(guide.label, u.bbox.left + 4 * px, y + (under ? 14 : -4) * px);
      }
    });
  }

  // Labels stand at the visible right end of what they name, pushed apart so that all can be read.
  function drawLabels(u, view, colour) {
    const px = devicePixelRatio, ctx = u.ctx, wanted = [];
    const end = (days, values, text, tint) => {
      for (let i = days.length - 1; i >= 0; i--) {
        if (days[i] <= u.scales.x.max && values[i] !== null) {
          if (days[i] < u.scales.x.min) return;
          wanted.push({ x: u.valToPos(days[i], "x", true), y: u.valToPos(values[i], "y", true), text, tint });
          return;
        }
      }
    };
    const least = 15 * px, right = u.bbox.left + u.bbox.width;
    if (view.bands) {
      end(view.bands.day, view.bands.high95, "95 % within", colour.soft);
      end(view.bands.day, view.bands.high50, "50 % within", colour.soft);
      // Ends too close for two lines of words share one.
      if (wanted.length === 2 && wanted[1].y - wanted[0].y < least) {
        wanted.pop();
        wanted[0].text = "50 and 95 %";
      }
    }
    if (view.line) end(view.line.day, view.line.value, view.line.label, colour.model);
    for (const p of view.points) end(p.day, p.value, p.label, colour.ink);
    wanted.sort((a, b) => a.y - b.y);
    let above = u.bbox.top - least + 6 * px;
    for (const w of wanted) above = w.at = Math.max(w.y, above + least);
    // Those that were pushed below the plot push the others up again.
    let below = u.bbox.top + u.bbox.height + least - 6 * px;
    for (const w of wanted.slice().reverse()) below = w.at = Math.min(w.at, below - least);
    ctx.save();
    ctx.font = scaled(px);
    ctx.textBaseline = "middle";
    for (const w of wanted) {
      const y = w.at;
      const room = u.width * px - w.x - 8 * px;
      const wide = ctx.measureText(w.text).width;
      ctx.textAlign = wide < room ? "left" : "right";
      const x = wide < room ? w.x + 7 * px : Math.min(w.x - 7 * px, right - 4 * px);
      ctx.lineWidth = 3 * px;
      ctx.strokeStyle = colour.ground;
      ctx.strokeText(w.text, x, y);
      ctx.fillStyle = w.tint;
      ctx.fillText(w.text, x, y);
    }
    ctx.restore();
  }

  // ---- fingers: two to zoom, one to move along when zoomed in ----

  function fingers(bounds, tell) {
    return {
      hooks: {
        ready: (u) => {
          let from = null;
          const spots = (e) => [...e.touches].map((t) => t.clientX - u.over.getBoundingClientRect().left);
          u.over.addEventListener("touchstart", (e) => {
            if (e.touches.length !== 2) { from = null; return; }
            e.preventDefault();
            const [a, b] = spots(e);
            from = { a: u.posToVal(a, "x"), b: u.posToVal(b, "x") };
          }, { passive: false });
          u.over.addEventListener("touchmove", (e) => {
            if (!from || e.touches.length !== 2) return;
            e.preventDefault();
            const [a, b] = spots(e);
            if (Math.abs(a - b) < 8) return;
            // Keep the two days that were touched under the two fingers.
            const perPx = (from.b - from.a) / (b - a);
            const min = from.a - a * perPx;
            tell(Math.max(min, bounds[0]), Math.min(min + perPx * u.over.clientWidth, bounds[1]));
          }, { passive: false });
          u.over.addEventListener("touchend", () => { from = null; });
        },
      },
    };
  }

  // ---- one chart ----

  // All charts of a page share one timeline.
  const shared = [Infinity, -Infinity];
  const LONG = 90;

  function mount(figure) {
    const chart = JSON.parse(document.getElementById(figure.dataset.chart).textContent);
    const plot = figure.querySelector(".chart-plot");
    const say = figure.querySelector(".chart-say");
    let u = null, view = chart.views[0];
    const bounds = shared;
    for (const each of chart.views) {
      const [low, high] = reach(each, chart.marks, chart.today);
      bounds[0] = Math.min(bounds[0], low);
      bounds[1] = Math.max(bounds[1], high);
    }

    const tell = (min, max) => {
      if (max - min < 0.02) return;
      document.dispatchEvent(new CustomEvent("marshlight:days", { detail: { min, max } }));
    };

    const read = () => {
      if (!say || !u || u.cursor.idx === null || u.cursor.idx === undefined) return;
      const day = u.data[0][u.cursor.idx];
      const near = (list) => list.day.reduce((best, d, i) => (Math.abs(d - day) < Math.abs(list.day[best] - day) ? i : best), 0);
      const parts = [`${chart.x_unit} ${day.toFixed(1)}`];
      for (const p of view.points) {
        if (!p.day.length) continue;
        const i = near(p);
        if (Math.abs(p.day[i] - day) > 0.51) continue;
        const range = p.low.length ? ` (${p.low[i].toFixed(view.digits)} to ${p.high[i].toFixed(view.digits)})` : "";
        parts.push(`${p.label} ${p.value[i].toFixed(view.digits)}${range} ${view.unit}`);
      }
      if (view.line && view.line.day.length) parts.push(`${view.line.label} ${view.line.value[near(view.line)].toFixed(view.digits)} ${view.unit}`);
      for (const m of chart.marks) if (Math.abs(m.day - day) < 0.5) parts.push(m.text);
      say.textContent = parts.join("; ");
    };

    // The heights follow the days in sight; the library asks for them before it has moved.
    let span = { min: 0, max: 1 };
    const show = (days) => { span = days; u.setScale("x", days); };

    const build = () => {
      const c = colours();
      const kept = u ? { min: u.scales.x.min, max: u.scales.x.max } : null;
      if (u) u.destroy();
      const axis = { stroke: c.soft, font: FONT, grid: { stroke: c.grid, width: 1 }, ticks: { stroke: c.grid, width: 1 } };
      const wide = plot.clientWidth > 560;
      u = new uPlot({
        width: plot.clientWidth,
        height: plot.clientHeight,
        padding: [10, wide ? 120 : 14, 0, 0],
        legend: { show: false },
        cursor: { y: false, points: { show: false }, drag: { x: true, y: false, setScale: false } },
        scales: { x: { time: false, range: (_, lo, hi) => (lo === null ? bounds : [lo, hi]) }, y: { range: () => heights(view, span.min, span.max) } },
        axes: [
          { ...axis, label: chart.x_unit, labelFont: FONT, labelSize: 18, size: 32 },
          { ...axis, label: view.unit, labelFont: FONT, labelSize: 18, size: 46 },
        ],
        series: series(view, c),
        bands: view.bands ? [{ series: [2, 1], fill: c.wide }, { series: [4, 3], fill: c.near }] : [],
        plugins: [fingers(bounds, tell)],
        hooks: {
          drawAxes: [(self) => { drawGuides(self, view, c); drawMarks(self, chart, c); }],
          draw: [(self) => { view.points.forEach((p, place) => drawPoints(self, p, c, place)); drawLabels(self, view, c); }],
          setCursor: [read],
          setSelect: [(self) => {
            if (self.select.width < 6) return;
            const min = self.posToVal(self.select.left, "x");
            const max = self.posToVal(self.select.left + self.select.width, "x");
            self.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
            tell(min, max);
          }],
        },
      }, uPlot.join(tables(view)), plot);
      show(kept || { min: bounds[0], max: bounds[1] });
    };

    const choose = (key) => {
      view = chart.views.find((v) => v.key === key) || view;
      for (const b of figure.querySelectorAll("[data-view]")) b.setAttribute("aria-pressed", String(b.dataset.view === view.key));
      for (const t of figure.querySelectorAll("[data-view-words]")) t.hidden = t.dataset.viewWords !== view.key;
      plot.setAttribute("aria-label", `${chart.title}. ${view.sentence}`);
      build();
    };

    figure.addEventListener("click", (e) => {
      const button = e.target.closest("button");
      if (!button) return;
      if (button.dataset.view) {
        choose(button.dataset.view);
        if (chart.group) document.dispatchEvent(new CustomEvent("marshlight:view", { detail: { group: chart.group, key: view.key } }));
      }
      if (button.dataset.zoom) {
        const { min, max } = u.scales.x, half = (max - min) / 2, middle = min + half;
        const k = { closer: 0.5, wider: 2, all: Infinity }[button.dataset.zoom];
        if (k === Infinity) tell(bounds[0], bounds[1]);
        else tell(Math.max(middle - half * k, bounds[0]), Math.min(middle + half * k, bounds[1]));
      }
    });
    document.addEventListener("marshlight:days", (e) => u && show(e.detail));
    document.addEventListener("marshlight:look", build);
    document.addEventListener("marshlight:view", (e) => {
      if (e.detail.group === chart.group && e.detail.key !== view.key) choose(e.detail.key);
    });
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", build);
    new ResizeObserver(() => {
      if (u && Math.abs(plot.clientWidth - u.width) > 1) build();
    }).observe(plot);
    choose(view.key);
  }

  const all = (within) => {
    const fresh = within.querySelectorAll("figure[data-chart]:not([data-drawn])");
    for (const figure of fresh) { figure.dataset.drawn = "yes"; mount(figure); }
    if (!fresh.length) return;
    // A long run opens on its last weeks; "All" shows the rest.
    const min = shared[1] - shared[0] > 1.5 * LONG ? shared[1] - LONG : shared[0];
    document.dispatchEvent(new CustomEvent("marshlight:days", { detail: { min, max: shared[1] } }));
  };
  all(document);
  document.addEventListener("htmx:afterSwap", (e) => all(e.target.parentNode || document));
})();
