// Looks at pages in a browser that is there already: the rules of accessibility (axe-core) on a telephone and
// on a desk, in light and in dark, the rules of HTML (html-validate), whether anything is wider than its window,
// and both papers. Speaks with the browser over two pipes, so that no port is opened.
//
//   node look.mjs BROWSER FOLDER PAGE...
//
// Answers as JSON: for each page what was found, and the papers written beside it. Exits with 77 where a
// package is missing.
import { spawn } from 'node:child_process';
import { readFile, writeFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { basename, join } from 'node:path';

const require = createRequire(import.meta.url);
let axe, HtmlValidate;
try {
  axe = await readFile(require.resolve('axe-core/axe.min.js'), 'utf8');
  ({ HtmlValidate } = require('html-validate'));
} catch (error) {
  console.log(`axe-core or html-validate is not here: ${error.code}`);
  process.exit(77);
}

const [browser, folder, ...pages] = process.argv.slice(2);
const child = spawn(
  browser,
  ['--headless', '--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage', '--no-first-run',
    '--disable-background-networking', '--disable-component-update', '--disable-sync', '--hide-scrollbars',
    '--host-resolver-rules=MAP * ~NOTFOUND', '--proxy-server=127.0.0.1:9',
    `--user-data-dir=${join(folder, 'browser')}`, '--remote-debugging-pipe'],
  { stdio: ['ignore', 'ignore', 'ignore', 'pipe', 'pipe'] },
);
let last = 0;
let rest = '';
const waiting = new Map();
child.stdio[4].on('data', (bytes) => {
  rest += bytes.toString('utf8');
  const parts = rest.split('\0');
  rest = parts.pop();
  for (const part of parts) {
    const answer = JSON.parse(part);
    const known = waiting.get(answer.id ?? answer.method);
    waiting.delete(answer.id ?? answer.method);
    if (answer.error) known?.reject(new Error(JSON.stringify(answer.error)));
    else known?.resolve(answer.result ?? answer.params);
  }
});
child.on('exit', (code) => {
  for (const { reject } of waiting.values()) reject(new Error(`the browser ended: ${code}`));
});
const comes = (name) => new Promise((resolve, reject) => waiting.set(name, { resolve, reject }));
const ask = (method, params = {}, sessionId = undefined) => {
  const id = (last += 1);
  const answer = comes(id);
  child.stdio[3].write(`${JSON.stringify({ id, method, params, sessionId })}\0`);
  return answer;
};

const validator = new HtmlValidate({ root: true, extends: ['html-validate:standard', 'html-validate:a11y'] });
// What WCAG 2.2, 1.4.12, asks a page to bear.
const SPACED = '*{line-height:1.5!important;letter-spacing:.12em!important;word-spacing:.16em!important}p{margin-bottom:2em!important}';
const WIDER = '[document.scrollingElement.scrollWidth, innerWidth]';
const PAPERS = { A4: [8.27, 11.69], Letter: [8.5, 11] };

const found = {};
for (const page of pages) {
  const { targetId } = await ask('Target.createTarget', { url: 'about:blank' });
  const { sessionId } = await ask('Target.attachToTarget', { targetId, flatten: true });
  const to = (method, params) => ask(method, params, sessionId);
  const says = async (expression) => {
    const { result, exceptionDetails } = await to('Runtime.evaluate', { expression, awaitPromise: true, returnByValue: true });
    if (exceptionDetails) throw new Error(JSON.stringify(exceptionDetails));
    return result.value;
  };
  const wide = async (width) => {
    await to('Emulation.setDeviceMetricsOverride', { width, height: 844, deviceScaleFactor: 1, mobile: false });
    return says(WIDER);
  };
  await to('Page.enable');
  // Only here may a script run: what looks at it.
  await to('Page.setBypassCSP', { enabled: true });
  const loaded = comes('Page.loadEventFired');
  await to('Page.navigate', { url: `file://${page}` });
  await loaded;
  const faults = [];
  for (const { messages } of (await validator.validateString(await readFile(page, 'utf8'))).results) {
    for (const m of messages) faults.push(`HTML ${m.line}:${m.column} ${m.ruleId}: ${m.message}`);
  }
  for (const size of Object.keys(PAPERS)) {
    const [paperWidth, paperHeight] = PAPERS[size];
    const { data } = await to('Page.printToPDF', { paperWidth, paperHeight, generateTaggedPDF: true });
    await writeFile(join(folder, `${basename(page, '.html')}-${size}.pdf`), Buffer.from(data, 'base64'));
    // As wide as the paper between its margins of 15 mm.
    await to('Emulation.setEmulatedMedia', { media: 'print' });
    const [needs, has] = await wide(Math.floor(paperWidth * 96 - 30 / 25.4 * 96));
    if (needs > has) faults.push(`${size}: ${needs} px on ${has} px of paper`);
    await to('Emulation.setEmulatedMedia', { media: '' });
  }
  const folded = await says(`[...document.querySelectorAll('details')].map((d) => (d.open = true)).length`);
  await says(axe);
  for (const [width, scheme] of [[390, 'light'], [1280, 'light'], [1280, 'dark']]) {
    const features = [{ name: 'prefers-color-scheme', value: scheme }];
    await to('Emulation.setEmulatedMedia', { media: '', features });
    await wide(width);
    const answer = await says(`axe.run(document, { resultTypes: ['violations'], ${scheme === 'dark' ? "runOnly: ['color-contrast']" : ''} }).then((r) => r.violations.map((v) =>
      v.id + ' at ' + v.nodes.length + ', first ' + v.nodes[0].html.slice(0, 160) + ': ' + v.nodes[0].failureSummary))`);
    for (const fault of answer) faults.push(`axe ${width} ${scheme}: ${fault}`);
  }
  for (const name of ['as it is', 'spaced']) {
    if (name === 'spaced') {
      await says(`document.head.append(Object.assign(document.createElement('style'), { textContent: ${JSON.stringify(SPACED)} }))`);
    }
    for (const width of [320, 390, 1280]) {
      const [needs, has] = await wide(width);
      if (needs > has) faults.push(`${name}: ${needs} px in a window of ${has} px`);
    }
  }
  found[basename(page)] = { faults, folded };
  await ask('Target.closeTarget', { targetId });
}
console.log(JSON.stringify(found));
child.kill();
