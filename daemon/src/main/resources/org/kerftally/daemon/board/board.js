"use strict";
// The live board. It reads /api/events and shows what it says; it can change nothing.
// Every text goes in by textContent, so a name is never taken for markup.

const SILENCE_MS = 25000; // the server says something every 10 s
const RETRY_MS = 5000;

const STATES = {
  Idle: { plain: "Nothing to cut", tone: "rest", mark: "M12 4a8 8 0 1 0 .01 0z" },
  Execute: { plain: "Cutting", tone: "go", mark: "M4 4v16l15-8z" },
  Held: { plain: "Waits for the operator", tone: "ask", mark: "M8 5v14M16 5v14" },
  Suspended: { plain: "Waiting", tone: "wait", mark: "M6 4h12L12 12zM12 12l6 8H6z" },
  Aborted: { plain: "Stopped by a fault", tone: "stop",
    mark: "M8 3h8l5 5v8l-5 5H8l-5-5V8zM9 9l6 6M15 9l-6 6" },
  Complete: { plain: "Last job done", tone: "rest", mark: "M4 13l5 5L20 6" },
  Stopped: { plain: "Not driven", tone: "rest", mark: "M5 5h14v14H5z" },
};

const SAW = {
  "idle": "Guard up, blade in",
  "guard-down": "Guard down",
  "blade-out": "Blade out",
  "unknown": "Not known",
};

const byId = (id) => document.getElementById(id);

/** Sets a text only when it changes, so that a screen reader hears changes alone. */
function say(element, text) {
  const value = text === null || text === undefined ? "" : String(text);
  if (element.textContent !== value) {
    element.textContent = value;
  }
}

function sayOrHide(element, text) {
  element.hidden = !text;
  say(element, text);
}

function make(tag, text, className) {
  const element = document.createElement(tag);
  if (text !== undefined && text !== null) {
    element.textContent = String(text);
  }
  if (className) {
    element.className = className;
  }
  return element;
}

/** Calls back only when what belongs to the element is another than last time. */
const drawn = new WeakMap();
function whenChanged(element, data, draw) {
  const key = JSON.stringify(data);
  if (drawn.get(element) !== key) {
    drawn.set(element, key);
    element.replaceChildren();
    draw(element);
  }
}

function clock(at) {
  return new Date(at).toLocaleTimeString([], {
    hour: "2-digit", minute: "2-digit", second: "2-digit", hour12: false });
}

function day(at) {
  const date = new Date(at);
  const today = new Date().toDateString() === date.toDateString();
  const time = date.toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hour12: false });
  return today ? time : date.toLocaleDateString([], { day: "numeric", month: "short" }) + " " + time;
}

function span(ms) {
  const minutes = Math.floor(Math.max(0, ms) / 60000);
  if (minutes < 1) {
    return "less than a minute";
  }
  if (minutes < 60) {
    return minutes + " min";
  }
  const hours = Math.floor(minutes / 60);
  return hours < 48 ? hours + " h " + (minutes % 60) + " min" : Math.floor(hours / 24) + " days";
}

function percent(ratio) {
  return ratio === null ? "–" : (ratio * 100).toFixed(1) + "\u00a0%";
}

function count(n, one, many) {
  return n + " " + (n === 1 ? one : many);
}

// ---- stations

const cards = new Map();
let skewMs = 0;

function card(name) {
  let article = cards.get(name);
  if (!article) {
    article = byId("station-template").content.firstElementChild.cloneNode(true);
    cards.set(name, article);
  }
  return article;
}

function mark(element, path) {
  whenChanged(element, path, () => {
    const space = "http://www.w3.org/2000/svg";
    const svg = document.createElementNS(space, "svg");
    svg.setAttribute("viewBox", "0 0 24 24");
    svg.setAttribute("aria-hidden", "true");
    const line = document.createElementNS(space, "path");
    line.setAttribute("d", path);
    svg.append(line);
    element.append(svg);
  });
}

function showStations(stations, jobs) {
  const host = byId("stations");
  const names = new Set(stations.map((station) => station.name));
  for (const [name, article] of cards) {
    if (!names.has(name)) {
      article.remove();
      cards.delete(name);
    }
  }
  stations.forEach((station, index) => {
    const article = card(station.name);
    if (host.children[index] !== article) {
      host.insertBefore(article, host.children[index] || null);
    }
    showStation(article, station, jobs.find((job) => job.id === station.job));
  });
}

function showStation(article, station, job) {
  const at = (key) => article.querySelector('[data-at="' + key + '"]');
  const state = STATES[station.state] || { plain: station.state, tone: "rest", mark: "" };
  article.dataset.tone = state.tone;
  article.dataset.since = station.since;
  say(at("name"), station.name);
  mark(at("mark"), state.mark);
  say(at("plain"), state.plain);
  say(at("state"), station.state);
  at("prompt").classList.toggle("quiet", !station.prompt.text);
  say(at("prompt"), station.prompt.text || "Nothing is asked of the operator.");
  whenChanged(at("faults"), station.faults, (list) => {
    station.faults.forEach((fault) => list.append(make("li", "Fault: " + fault.text
      + (fault.since ? " (since " + day(fault.since) + ")" : ""))));
  });
  at("odd-block").hidden = station.odd_cuts.length === 0;
  whenChanged(at("odd"), station.odd_cuts, (list) => {
    station.odd_cuts.forEach((cut) => list.append(make("li", day(cut.at) + ", " + cut.kind
      + ": saw cycle " + cut.count + (cut.remark ? ", " + cut.remark : ""))));
  });
  sayOrHide(at("trouble"), station.trouble);
  at("notes-block").hidden = station.notes.length === 0;
  say(at("notes-count"), station.notes.length === 1
    ? "What this device lacks, 1 note" : "What this device lacks, " + station.notes.length + " notes");
  whenChanged(at("notes"), station.notes, (list) => {
    station.notes.forEach((note) => list.append(make("li", note[0].toUpperCase() + note.slice(1))));
  });
  showFacts(at, station);
  showTarget(at, station);
  showJob(at, job);
}

function showFacts(at, station) {
  const device = station.device;
  say(at("link"), station.link_up ? "Up" : "Down"
    + (station.link_down_since ? " since " + day(station.link_down_since) : ""));
  at("link").classList.toggle("off", !station.link_up);
  say(at("armed"), station.armed ? "Released" : "Waits for acknowledge");
  say(at("saw"), device ? SAW[device.saw] || device.saw : "–");
  say(at("position"), device && device.stands_at_text ? device.stands_at_text : "–");
  say(at("waiting"), station.waiting);
  showDown(at("down"), station);
}

function showDown(element, station) {
  const now = Date.now() + skewMs;
  const since = station.down_since ? Math.max(0, now - Date.parse(station.down_since)) / 1000 : 0;
  const minutes = Math.floor((station.down_seconds + since) / 60);
  say(element, minutes < 1 ? "less than a minute" : minutes < 60 ? minutes + " min"
    : Math.floor(minutes / 60) + " h " + (minutes % 60) + " min");
}

function showTarget(at, station) {
  const target = station.target;
  at("target").classList.toggle("none", !target);
  say(at("target"), target ? target.length_text : station.move
    ? (station.move.kind === "park" ? "Going to park" : "Retracting") : "No target");
  if (!target) {
    say(at("part"), "");
    return;
  }
  const what = target.kind === "trim" ? "Squaring cut" : target.part;
  const reached = station.device && station.device.target_reached;
  const missing = station.device ? ", the stop is not in place yet"
    : ", where the stop stands is not known";
  say(at("part"), what + (reached ? ", the stop is in place" : missing));
}

function showJob(at, job) {
  at("job").hidden = !job;
  if (!job) {
    return;
  }
  say(at("job-name"), job.name);
  say(at("job-due"), job.due ? "due " + job.due : "");
  at("progress").max = Math.max(1, job.wanted);
  at("progress").value = job.made;
  at("progress").setAttribute("aria-label", job.made + " of " + job.wanted + " made");
  say(at("made"), job.made);
  const rest = ["of " + job.wanted + " made"];
  if (job.rejected) {
    rest.push(job.rejected + " rejected");
  }
  if (job.short) {
    rest.push(job.short + " short");
  }
  rest.push("yield " + percent(job.yield));
  rest.push("stick " + job.sticks_loaded + " of " + job.sticks_planned + " planned");
  say(at("of"), rest.join(", "));
  whenChanged(at("parts"), job.parts, (body) => {
    (job.parts || []).forEach((part) => {
      const row = make("tr", null, part.made >= part.wanted ? "done" : "");
      const name = make("td", part.part || "part");
      if (part.note) {
        name.append(" ", make("small", part.note));
      }
      row.append(name, make("td", part.length_text, "num"), figure(part.made, "Made"),
        figure(part.wanted, "Wanted"), figure(part.rejected, "Rejected", true),
        figure(part.short, "Short", true));
      body.append(row);
    });
  });
  sayOrHide(at("parts-more"), job.parts_left_out
    ? "and " + count(job.parts_left_out, "more line", "more lines") : "");
}

function figure(value, label, mind) {
  const cell = make("td", value, "num" + (value === 0 ? " zero" : mind ? " mind" : ""));
  cell.dataset.label = label;
  return cell;
}

// ---- jobs and office

function showJobs(jobs, leftOut) {
  byId("jobs-none").hidden = jobs.length > 0;
  byId("jobs-table").hidden = jobs.length === 0;
  whenChanged(byId("jobs"), jobs, (body) => {
    jobs.forEach((job) => {
      const ended = job.status === "complete" || job.status === "withdrawn";
      const row = make("tr", null, job.status === "running" ? "running" : ended ? "done" : "");
      const due = make("td", job.due || "–");
      due.dataset.label = "Due";
      const yieldCell = make("td", percent(job.yield), "num");
      yieldCell.dataset.label = "Yield";
      const odd = job.suspects + job.unattributed;
      const status = make("td", job.status + (odd
        ? ", " + count(odd, "cut is no part", "cuts are no part") : ""), job.status === "short" || odd ? "mind" : "");
      status.dataset.label = "Status";
      row.append(make("td", job.name), due, figure(job.made, "Made"), figure(job.wanted, "Wanted"),
        figure(job.rejected, "Rejected", true), figure(job.short, "Short", true), yieldCell,
        status);
      body.append(row);
    });
  });
  sayOrHide(byId("jobs-more"), leftOut
    ? "and " + count(leftOut, "more job", "more jobs") + ", see /api/jobs" : "");
}

function showOffice(board) {
  const inbox = board.inbox;
  sayOrHide(byId("inbox-trouble"), inbox.trouble ? "Inbox: " + inbox.trouble : "");
  sayOrHide(byId("stock-trouble"), stockTrouble(board.stock));
  sayOrHide(byId("unwritten"), board.unwritten.count === 0 ? ""
    : "Results: " + board.unwritten.problem + (board.unwritten.count > 1
      ? " (and " + count(board.unwritten.count - 1, "more file", "more files") + ")" : ""));
  byId("refusals-none").hidden = inbox.refusals.length > 0;
  whenChanged(byId("refusals"), inbox.refusals, (list) => {
    inbox.refusals.forEach((refusal) => {
      const item = make("li");
      item.append(make("strong", refusal.file), make("span", refusal.problem, "why"));
      const more = refusal.problem_count - 1;
      item.append(make("small", " " + day(refusal.at)
        + (more > 0 ? ", and " + count(more, "more problem", "more problems") : "")));
      list.append(item);
    });
  });
  byId("waiting-block").hidden = inbox.waiting.length === 0;
  whenChanged(byId("waiting"), inbox.waiting, (list) => {
    inbox.waiting.forEach((file) => {
      const item = make("li");
      item.append(make("strong", file.file), make("span", file.reason));
      list.append(item);
    });
  });
  const metres = (board.offcuts.length_mm / 1000).toFixed(1);
  say(byId("offcuts"), board.offcuts.count === 0 ? "None made here."
    : count(board.offcuts.count, "piece", "pieces") + ", " + metres + " m together");
}

function stockTrouble(stock) {
  if (stock.trouble) {
    return "Stock file: " + stock.trouble;
  }
  if (stock.problem_count > 0) {
    return "Stock file not taken: " + stock.problems[0] + (stock.problem_count > 1
      ? " (" + count(stock.problem_count, "problem", "problems") + ")" : "");
  }
  return "";
}

// ---- connection

let source = null;
let heardAt = 0;
let lostSince = 0;
let retryTimer = 0;

function show(board) {
  skewMs = Date.parse(board.at) - Date.now();
  showStations(board.stations, board.jobs);
  showJobs(board.jobs, board.jobs_left_out);
  showOffice(board);
  sayOrHide(byId("unready"), board.ready ? "" : "Not ready: " + board.not_ready);
  say(byId("version"), "Version " + board.version);
  byId("board").hidden = false;
  tick();
}

function heard() {
  heardAt = Date.now();
  if (lostSince !== 0 || !document.body.classList.contains("live")) {
    lostSince = 0;
    document.body.classList.remove("stale");
    document.body.classList.add("live");
    sayOrHide(byId("lost"), "");
  }
}

function lost() {
  if (lostSince === 0) {
    lostSince = heardAt || Date.now();
    document.body.classList.add("stale");
    document.body.classList.remove("live");
    sayOrHide(byId("lost"), "No connection since " + clock(lostSince)
      + (heardAt ? ". What is shown is old; look at the machine." : "."));
    tick();
  }
}

function connect() {
  clearTimeout(retryTimer);
  retryTimer = 0;
  if (source) {
    source.close();
  }
  source = new EventSource("/api/events");
  source.addEventListener("board", (event) => {
    show(JSON.parse(event.data));
    heard();
    tick();
  });
  source.addEventListener("beat", () => {
    if (lostSince === 0) {
      heard();
    }
  });
  source.addEventListener("error", () => {
    lost();
    if (source.readyState === EventSource.CLOSED && retryTimer === 0) {
      retryTimer = setTimeout(connect, RETRY_MS);
    }
  });
}

function tick() {
  const now = Date.now() + skewMs;
  for (const article of cards.values()) {
    const since = Date.parse(article.dataset.since);
    say(article.querySelector('[data-at="since"]'),
      "since " + day(since) + (lostSince === 0 ? ", " + span(now - since) : ""));
  }
  if (heardAt !== 0) {
    say(byId("heard"), lostSince === 0 ? "Live, " + clock(Date.now())
      : "Old: as of " + clock(lostSince));
  }
}

setInterval(() => {
  if (heardAt !== 0 && lostSince === 0 && Date.now() - heardAt > SILENCE_MS) {
    lost();
    connect();
  }
  tick();
}, 1000);
connect();
