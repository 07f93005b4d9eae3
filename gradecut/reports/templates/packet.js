"use strict";
(function () {
  const told = JSON.parse(document.body.dataset.packet);
  const film = document.querySelector("video");
  const sections = Array.from(document.querySelectorAll("section.rep"));
  const plays = Array.from(document.querySelectorAll("button.play"));
  const answers = told.reps.map(() => ({ owed: "", did: "", name: "", cause: "", note: "" }));
  let current = 0;

  /* A page opened from a folder may not be allowed to keep anything. */
  function remember() {
    try {
      window.localStorage.setItem(told.key, JSON.stringify(answers));
    } catch (error) {
      return false;
    }
    return true;
  }

  function recall() {
    try {
      const kept = JSON.parse(window.localStorage.getItem(told.key) || "[]");
      kept.forEach((one, at) => Object.keys(answers[at] || {}).forEach((field) => {
        if (typeof one[field] === "string") answers[at][field] = one[field];
      }));
    } catch (error) {
      return;
    }
  }

  function part(at, name) {
    return sections[at].querySelector("[data-part='" + name + "']");
  }

  function missesOf(at) {
    return told.misses[answers[at].owed] || [];
  }

  function isDone(at) {
    const one = answers[at];
    if (!one.owed || !one.did) return false;
    if (one.did === "fit") return one.name !== "";
    return one.did !== "miss" || one.name !== "" || missesOf(at).length === 0;
  }

  function fillMisses(at) {
    const select = part(at, "miss");
    while (select.options.length > 1) select.remove(1);
    missesOf(at).forEach((name) => select.add(new Option(name, name)));
  }

  function showRep(at) {
    const one = answers[at];
    part(at, "owed").value = one.owed;
    sections[at].querySelectorAll("input[type=radio]").forEach((input) => {
      input.checked = input.value === one.did;
    });
    fillMisses(at);
    part(at, "fit").value = one.did === "fit" ? one.name : "";
    part(at, "miss").value = one.did === "miss" ? one.name : "";
    part(at, "cause").value = one.cause;
    part(at, "note").value = one.note;
    part(at, "fit-row").hidden = one.did !== "fit";
    part(at, "miss-row").hidden = one.did !== "miss" || (one.owed !== "" && missesOf(at).length === 0);
    part(at, "miss").disabled = !one.owed;
    part(at, "cause-row").hidden = one.did !== "fit" && one.did !== "miss";
  }

  function showProgress() {
    const done = answers.filter((one, at) => isDone(at)).length;
    plays.forEach((button, at) => {
      button.classList.toggle("done", isDone(at));
      button.setAttribute("aria-label", told.reps[at].label + (isDone(at) ? ", answered" : ", open"));
      if (at === current) button.setAttribute("aria-current", "true");
      else button.removeAttribute("aria-current");
    });
    document.getElementById("done").textContent = done + " of " + answers.length + " answered";
    document.getElementById("save").disabled = done === 0;
    return done;
  }

  function choose(at) {
    current = at;
    sections.forEach((section, place) => section.classList.toggle("now", place === at));
    showRep(at);
    showProgress();
  }

  function seek(at) {
    const start = told.reps[at].start;
    if (!film || start === null) return;
    film.currentTime = start;
    const playing = film.play();
    if (playing) playing.catch(() => undefined);
  }

  function endOf(at) {
    const start = told.reps[at].start;
    const later = told.reps.map((rep) => rep.start).filter((one) => one !== null && one > start);
    return later.length ? Math.min.apply(null, later) : Infinity;
  }

  function repAt(seconds) {
    let found = -1;
    told.reps.forEach((rep, at) => {
      if (rep.start !== null && rep.start <= seconds + 0.05) found = at;
    });
    return found;
  }

  function change(at, changes) {
    Object.assign(answers[at], changes);
    showRep(at);
    showProgress();
    remember();
    document.getElementById("said").textContent = "";
  }

  function listen(at) {
    part(at, "owed").addEventListener("change", (event) => {
      const name = answers[at].did === "miss" ? "" : answers[at].name;
      change(at, { owed: event.target.value, name: name });
    });
    sections[at].querySelectorAll("input[type=radio]").forEach((input) => {
      input.addEventListener("change", () => {
        const wrong = input.value === "fit" || input.value === "miss";
        change(at, { did: input.value, name: "", cause: wrong ? answers[at].cause : "" });
      });
    });
    ["fit", "miss"].forEach((name) => {
      part(at, name).addEventListener("change", (event) => change(at, { name: event.target.value }));
    });
    part(at, "cause").addEventListener("change", (event) => change(at, { cause: event.target.value }));
    part(at, "note").addEventListener("input", (event) => {
      answers[at].note = event.target.value;
      remember();
    });
    part(at, "seek").addEventListener("click", () => seek(at));
    [["back", -1], ["next", 1]].forEach(([name, by]) => {
      const button = part(at, name);
      if (button) button.addEventListener("click", () => go(at + by));
    });
  }

  /* On a narrow screen the film stays on top and the questions scroll below it. */
  function bringUp(at) {
    const screen = document.querySelector(".screen");
    const below = document.querySelector(".sheet").offsetTop > screen.offsetTop + 1;
    if (below) window.scrollTo(0, sections[at].offsetTop - screen.offsetHeight);
  }

  function go(at) {
    choose(at);
    bringUp(at);
    seek(at);
  }

  function cell(text) {
    return '"' + text.replace(/"/g, '""') + '"';
  }

  /* A table program would read these signs as the start of a formula. */
  function guarded(text) {
    const plain = text.replace(/\s+/g, " ").trim();
    return /^[=+\-@]/.test(plain) ? "'" + plain : plain;
  }

  function row(at) {
    const one = answers[at];
    const did = { right: "right", fit: one.name, miss: one.name || "missed it", cannot: "" }[one.did];
    const cannot = one.did === "cannot" ? "he could not tell" : "";
    const rep = told.reps[at];
    return [rep.session, rep.play, rep.position, told.player, one.owed, did, one.cause, cannot,
      guarded(one.note)];
  }

  function save() {
    const done = answers.map((one, at) => at).filter(isDone);
    const lines = [told.columns].concat(done.map(row)).map((cells) => cells.map(cell).join(","));
    const blob = new Blob(["\ufeff" + lines.join("\r\n") + "\r\n"], { type: "text/csv" });
    const link = document.createElement("a");
    link.href = URL.createObjectURL(blob);
    link.download = told.file;
    link.click();
    window.setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    const open = answers.length - done.length;
    document.getElementById("said").textContent = "Saved as " + told.file +
      ". Give that file to your coach." +
      (open ? " " + open + (open === 1 ? " play is" : " plays are") + " still open." : "");
  }

  recall();
  document.body.classList.add("live");
  sections.forEach((section, at) => listen(at));
  plays.forEach((button, at) => button.addEventListener("click", () => go(at)));
  document.getElementById("save").addEventListener("click", save);
  if (film) {
    let moving = false;
    film.addEventListener("seeking", () => { moving = true; });
    /* The film waits at the end of a play for its answer; played on, it goes to the next. */
    film.addEventListener("timeupdate", () => {
      if (moving || film.paused || film.currentTime < endOf(current)) return;
      film.pause();
      film.currentTime = endOf(current) - 0.07;
    });
    film.addEventListener("play", () => {
      if (!moving && film.currentTime > endOf(current) - 0.1) go(repAt(endOf(current)));
    });
    film.addEventListener("seeked", () => {
      moving = false;
      const at = repAt(film.currentTime);
      if (at >= 0 && at !== current) choose(at);
    });
    film.addEventListener("error", () => {
      document.getElementById("no-film").hidden = false;
    }, true);
  }
  choose(0);
})();
