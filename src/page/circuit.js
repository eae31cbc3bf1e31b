'use strict';
(() => {
  const all = JSON.parse(document.getElementById('data').textContent);
  const at = id => document.getElementById(id);
  const svg = document.querySelector('.oil-drawing');
  const VERDICTS = [
    ['S starved', 'drained', 'fault'], ['O on when off', 'stray', 'trapped'],
    ['W weakened', 'contested', 'contested'], ['L late', 'trapped', 'trapped'],
    ['H harsh', 'contested', 'contested'], ['? undecided', 'unsure', 'undecided'],
  ];
  const ROLES = {S: 'supply', R: 'regulated', P: 'pilot', L: 'lube', N: 'slack', D: 'drained',
    C: 'contested', T: 'trapped', '?': 'undecided'};
  const FLOWS = {O: 'open', S: 'shut', U: 'unsure'};
  const words = Object.values(ROLES), flows = Object.values(FLOWS);
  // What is chosen, by number; -1 is none.
  const now = {state: 0, part: -1, fault: -1};

  const make = (tag, props = {}, ...inside) => {
    const made = Object.assign(document.createElement(tag), props);
    made.append(...inside);
    return made;
  };
  const text = number => all.texts[number];
  const called = part => part.label === part.typed ? part.typed : `${part.label} (${part.typed})`;
  const foundIn = (fault, state) => all.faults[fault]?.effects.find(found => found[0] === state);
  const effectIn = (fault, state) => all.effects[foundIn(fault, state)?.[1]] ?? null;
  // The overlay of the state, with what the fault changes of it.
  const overlay = () => {
    const sound = all.overlays[now.state];
    const changed = all.repaints[foundIn(now.fault, now.state)?.[2]];
    if (!changed) return sound;
    const patch = (before, changes) => {
      const after = [...before];
      let place = 0;
      for (const [, passed, letter] of changes.matchAll(/([0-9a-z]*)([A-Z?])/g)) {
        place += parseInt(passed || '0', 36);
        after[place++] = letter;
      }
      return after.join('');
    };
    return {
      roles: patch(sound.roles, changed.roles),
      items: patch(sound.items, changed.items),
      pipes: patch(sound.pipes, changed.pipes),
      stands: [...new Map([...sound.stands, ...changed.stands])],
    };
  };

  // The drawing: what can be picked, by part number.
  const items = [...svg.querySelectorAll('g.item')];
  const pipes = [...svg.querySelectorAll('g.pipe')];
  const byName = new Map(all.parts.map((part, i) => [part.name, i]));
  const partOf = element => {
    const {part, cavity} = element.dataset;
    return byName.get(part ?? `passage.${cavity}`) ?? -1;
  };
  const places = new Map();
  for (const element of svg.querySelectorAll('g[data-part],g[data-cavity]')) {
    const part = partOf(element);
    if (part < 0) continue;
    element.dataset.pick = '';
    if (!places.has(part)) places.set(part, []);
    places.get(part).push(element);
  }
  const stops = items.filter(item => 'pick' in item.dataset);
  svg.setAttribute('role', 'group');
  for (const stop of stops) {
    stop.setAttribute('role', 'button');
    stop.setAttribute('tabindex', '-1');
  }
  stops[0]?.setAttribute('tabindex', '0');
  const rove = stop => {
    stops.forEach(other => other.setAttribute('tabindex', other === stop ? '0' : '-1'));
  };
  const middle = element => {
    const box = element.querySelector('.face').getBBox();
    return [box.x + box.width / 2, box.y + box.height / 2];
  };
  const AHEAD = {ArrowUp: [0, -1], ArrowDown: [0, 1], ArrowLeft: [-1, 0], ArrowRight: [1, 0]};
  const nearest = (from, [dx, dy]) => {
    const [x, y] = middle(from);
    let best = null, least = Infinity;
    for (const stop of stops) {
      const [a, b] = middle(stop);
      const along = (a - x) * dx + (b - y) * dy;
      const aside = Math.abs((a - x) * dy) + Math.abs((b - y) * dx);
      const far = along + 3 * aside;
      if (along > 1 && far < least) [best, least] = [stop, far];
    }
    return best;
  };
  svg.addEventListener('keydown', event => {
    const here = event.target.closest('g.item');
    if (!here) return;
    if (event.key === 'Enter' || event.key === ' ') {
      pick(partOf(here));
    } else if (AHEAD[event.key]) {
      const next = nearest(here, AHEAD[event.key]);
      if (next) { rove(next); next.focus(); }
    } else {
      return;
    }
    event.preventDefault();
  });
  svg.addEventListener('click', event => {
    const picked = event.target.closest('[data-pick]');
    if (picked) pick(partOf(picked));
  });

  const setClass = (element, among, word) => {
    if (!element || !word) return;
    element.classList.remove(...among);
    element.classList.add(word);
  };
  const recolour = overlay => {
    items.forEach((item, i) => {
      setClass(item, flows, FLOWS[overlay.items[i]]);
      const letter = overlay.roles[i], role = ROLES[letter];
      if (!role || !('cavity' in item.dataset)) return;
      item.dataset.role = role;
      setClass(item.querySelector('.cell'), words, role);
      setClass(item.querySelector('.swatch'), words, role);
      const sign = item.querySelector('.swatch + text');
      sign.setAttribute('class', `small middle on-${role}`);
      sign.textContent = letter;
    });
    const role = new Map(items.filter(i => i.dataset.role).map(i => [i.id, i.dataset.role]));
    pipes.forEach((pipe, i) => {
      setClass(pipe, flows, FLOWS[overlay.pipes[i]]);
      const word = role.get(pipe.dataset.from) ?? role.get(pipe.dataset.to);
      for (const piece of [pipe, ...pipe.querySelectorAll('.core,.head')]) setClass(piece, words, word);
    });
    const stands = new Map(overlay.stands);
    items.forEach((item, i) => {
      const part = all.parts[partOf(item)];
      if (!part) return;
      const how = stands.has(i) ? `, ${stands.get(i)}` : '';
      item.setAttribute('aria-label', `${called(part)}${how}`);
    });
  };
  const mark = (marked, word, ground, kind = 'mark') => {
    for (const item of marked ?? []) {
      const face = item.querySelector(':scope > .face');
      if (!face) continue;
      const box = face.getBBox(), wide = word.length * 6.6 + 8;
      const name = tag => document.createElementNS('http://www.w3.org/2000/svg', tag);
      const [group, rect, label] = [name('g'), name('rect'), name('text')];
      group.setAttribute('class', kind);
      // Where a part stands goes to a corner: ports have their numbers along the borders, a single one
      // in the middle, which a short word leaves free.
      const corner = ground === 'band' || kind !== 'mark';
      const free = kind === 'mark' ? Math.max(0, box.width / 2 - 9 - wide / 2) : Infinity;
      const middle = box.x + (corner ? Math.min(wide / 2 - 8, free) : box.width / 2);
      const top = corner ? box.y - 8 : box.y + box.height - 7;
      const set = (element, values) => {
        for (const key in values) element.setAttribute(key, values[key]);
      };
      set(rect, {class: words.includes(ground) ? `swatch ${ground}` : ground, x: middle - wide / 2,
        y: top, width: wide, height: 15, rx: 3});
      set(label, {class: `small middle on-${ground}`, x: middle, y: top + 11});
      label.textContent = word;
      group.append(rect, label);
      svg.append(group);
      if (ground !== 'band') item.setAttribute('aria-label', `${item.getAttribute('aria-label')}: ${word}`);
    }
  };
  const markAll = (effect, stands) => {
    svg.querySelectorAll('.mark').forEach(old => old.remove());
    svg.querySelectorAll('.chosen,.faulty').forEach(old => old.classList.remove('chosen', 'faulty'));
    const suffers = new Set();
    for (const [verdict, part] of effect ? effect[2] : []) {
      suffers.add(part);
      mark(places.get(part), VERDICTS[verdict][0], VERDICTS[verdict][2]);
    }
    for (const part of all.on[now.state]) if (!suffers.has(part)) mark(places.get(part), 'on', 'supply');
    const here = now.fault < 0 ? [] : places.get(now.part) ?? [];
    for (const [item, how] of stands) {
      // The faulty part has its fault there.
      if (!here.includes(items[item])) mark([items[item]], how.split(',')[0], 'band');
    }
    for (const item of here) mark([item], `× ${all.faults[now.fault].label}`, 'fault', 'mark wrong');
    for (const item of places.get(now.part) ?? []) {
      item.classList.add('chosen');
      item.classList.toggle('faulty', now.fault >= 0);
    }
  };

  // The answer.
  const link = (words, act) => make('button', {type: 'button', className: 'link', textContent: words, onclick: act});
  const list = items => make('ul', {}, ...items.map(item => make('li', {}, item)));
  const summary = (fault, effect) => {
    const where = all.states[now.state][0] && ` in ${all.states[now.state][0]}`;
    if (fault < 0) {
      const on = all.on[now.state].length;
      return `Nothing wrong${where}: ${on} outlet${on === 1 ? ' has' : 's have'} oil.`;
    }
    const typed = all.faults[fault].typed;
    if (!effect) return `${typed} changes nothing${where}.`;
    const hurt = effect[2].length;
    return `${typed}${where}: ${text(effect[0])}` + (hurt ? `; ${hurt} outlet${hurt > 1 ? 's' : ''}.` : '.');
  };
  const outlets = effect => {
    const made = list(effect[2].map(([verdict, part, why]) => make('span', {},
      make('strong', {className: VERDICTS[verdict][1], textContent: `${VERDICTS[verdict][0]}: `}),
      make('strong', {}, called(all.parts[part])),
      why === null ? '' : make('div', {}, text(why)))));
    effect[2].forEach(([verdict, part], i) => {
      made.children[i].dataset.verdict = VERDICTS[verdict][0].slice(2).replaceAll(' ', '-');
      made.children[i].dataset.outlet = all.parts[part].name;
    });
    return made;
  };
  const everywhere = fault => {
    const alike = new Map();
    all.states.forEach(([id], state) => {
      const effect = effectIn(fault, state);
      const does = effect ? text(effect[0]) : 'nothing changes';
      if (!alike.has(does)) alike.set(does, []);
      const go = link(id, () => { now.state = state; show(); });
      if (state === now.state) go.setAttribute('aria-current', 'true');
      alike.get(does).push(go);
    });
    return list([...alike].map(([does, links]) =>
      make('span', {}, `${does}: `, ...links.flatMap((go, i) => i ? [', ', go] : [go]))));
  };
  const culprits = outlet => {
    const found = [];
    all.faults.forEach((fault, i) => {
      const effect = effectIn(i, now.state);
      const hit = effect?.[2].find(one => one[1] === outlet);
      if (hit) found.push([hit[0], i, fault]);
    });
    found.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
    return list(found.map(([verdict, i, fault]) => {
      const line = make('span', {className: VERDICTS[verdict][1], textContent: `${VERDICTS[verdict][0]} `});
      return make('span', {}, line, link(fault.typed, () => {
        [now.part, now.fault] = [all.parts.findIndex(part => part.faults.includes(i)), i];
        show(true);
      }));
    }));
  };
  const tell = effect => {
    at('lead').textContent = summary(now.fault, effect);
    const told = [];
    const say = (title, ...inside) => told.push(make('h2', {textContent: title}), ...inside);
    const part = all.parts[now.part];
    if (part) {
      const element = places.get(now.part)?.[0];
      const title = element?.querySelector(':scope > title')?.textContent;
      told.push(make('p', {className: 'faint', textContent: title ?? called(part)}));
    }
    if (effect?.[1].length) say('The complaint', list(effect[1].map(text)));
    if (effect?.[2].length) say('Outlets', outlets(effect));
    if (effect?.[3].length) say('What a gauge shows', list(effect[3].map(text)));
    if (effect?.[4].length) say('Valves', list(effect[4].map(text)));
    if (now.fault >= 0 && all.states.length > 1) say('In every state', everywhere(now.fault));
    if (!part && now.fault < 0) say('What has oil', list(all.on[now.state].map(on => called(all.parts[on]))));
    if (part?.outlet && now.fault < 0) say('What alone can do it harm in this state', culprits(now.part));
    at('rest').replaceChildren(...told);
    at('told').dataset.state = all.states[now.state][0];
    at('told').dataset.fault = now.fault < 0 ? '' : all.faults[now.fault].typed;
  };

  // The choices.
  const option = (value, words) => make('option', {value, textContent: words});
  const fill = () => {
    const wanted = at('find').value.trim().toLowerCase().split(/\s+/);
    const groups = new Map();
    all.parts.forEach((part, i) => {
      const said = `${part.name} ${part.label}`.toLowerCase();
      if (i !== now.part && !wanted.every(word => said.includes(word))) return;
      const kind = part.outlet ? 'needs oil' : part.name.split('.')[0];
      if (!groups.has(kind)) groups.set(kind, make('optgroup', {label: kind}));
      groups.get(kind).append(option(i, called(part)));
    });
    const first = [...groups.keys()].sort((a, b) => (b === 'needs oil') - (a === 'needs oil'));
    at('part').replaceChildren(option(-1, 'none chosen'), ...first.map(kind => groups.get(kind)));
    at('part').value = now.part;
    const found = at('part').options.length - 1;
    at('count').textContent = wanted[0] ? `${found} found` : '';
  };
  const choose = () => {
    at('state').value = now.state;
    fill();
    const faults = all.parts[now.part]?.faults ?? [];
    const none = now.part < 0 ? 'choose a part first' : faults.length ? 'nothing' : 'nothing in the catalogue';
    at('fault').replaceChildren(option(-1, none), ...faults.map(i => option(i, all.faults[i].label)));
    at('fault').value = now.fault;
    at('fault').disabled = !faults.length;
    at('sound').disabled = now.fault < 0;
  };
  const toLink = () => {
    const link = new URLSearchParams();
    const id = all.states[now.state][0];
    if (id) link.set('state', id);
    if (now.part >= 0) link.set('part', all.parts[now.part].name);
    if (now.fault >= 0) link.set('fault', all.faults[now.fault].typed);
    return `#${link}`;
  };
  const fromLink = () => {
    const link = new URLSearchParams(location.hash.slice(1));
    const state = all.states.findIndex(([id]) => id === link.get('state'));
    now.state = Math.max(state, 0);
    now.fault = all.faults.findIndex(fault => fault.typed === link.get('fault'));
    now.part = all.parts.findIndex(part => part.name === link.get('part') || part.typed === link.get('part'));
    const owns = part => part?.faults.includes(now.fault);
    if (now.fault >= 0 && !owns(all.parts[now.part])) now.part = all.parts.findIndex(owns);
  };
  const reveal = () => {
    const item = places.get(now.part)?.[0]?.closest('g.item');
    if (!item) return;
    rove(item);
    const box = item.getBoundingClientRect(), sheet = at('sheet').getBoundingClientRect();
    at('sheet').scrollBy(box.x + box.width / 2 - sheet.x - sheet.width / 2,
      box.y + box.height / 2 - sheet.y - sheet.height / 2);
  };
  const show = (bring = false) => {
    const effect = effectIn(now.fault, now.state);
    choose();
    const laid = overlay();
    recolour(laid);
    markAll(effect, laid.stands);
    tell(effect);
    const id = all.states[now.state][0];
    const drawn = now.fault < 0 ? 'The sound circuit' : `With ${all.faults[now.fault].typed}`;
    at('caption').textContent = drawn + (id && ` in ${id}`);
    if (bring) reveal();
    if (location.hash !== toLink()) history.replaceState(null, '', toLink());
  };
  const pick = part => {
    if (part < 0) return;
    if (part !== now.part) [now.part, now.fault] = [part, -1];
    show();
  };

  const [, , width, height] = svg.getAttribute('viewBox').split(' ').map(Number);
  let scale = 1;
  const zoom = to => {
    const sheet = at('sheet'), before = scale;
    const [x, y] = [sheet.scrollLeft + sheet.clientWidth / 2, sheet.scrollTop + sheet.clientHeight / 2];
    scale = Math.min(3, Math.max(0.1, to));
    svg.style.width = `${width * scale}px`;
    svg.style.height = `${height * scale}px`;
    sheet.scrollTo(x * scale / before - sheet.clientWidth / 2, y * scale / before - sheet.clientHeight / 2);
  };

  at('state').append(...all.states.map(([id, label], i) => option(i, label === id ? id : `${id}: ${label}`)));
  at('state').onchange = event => { now.state = +event.target.value; show(); };
  at('part').onchange = event => { [now.part, now.fault] = [+event.target.value, -1]; show(true); };
  at('fault').onchange = event => { now.fault = +event.target.value; show(); };
  at('sound').onclick = () => { now.fault = -1; show(); };
  at('find').oninput = fill;
  at('find').onkeydown = event => {
    const first = [...at('part').options].find(one => +one.value >= 0 && +one.value !== now.part);
    if (event.key !== 'Enter' || !first || !at('find').value) return;
    [now.part, now.fault] = [+first.value, -1];
    show(true);
  };
  at('smaller').onclick = () => zoom(scale / 1.25);
  at('larger').onclick = () => zoom(scale * 1.25);
  at('whole').onclick = () => zoom(at('sheet').clientWidth / width);
  addEventListener('hashchange', () => { fromLink(); show(true); });
  fromLink();
  zoom(Math.max(0.55, at('sheet').clientWidth / width));
  show(true);
})();
