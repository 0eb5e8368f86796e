// Opens pages in headless Chromium and asks of each what a reader, a browser and a checker would.
// Usage: node check_pages.mjs [--modules NODE_MODULES] [--shots FOLDER] [--time] PAGE.html...
// --time: how long each takes to open, and nothing else; for a machine that does nothing beside.
// Exit status: 0 all well, 1 a page failed, 2 wrong use, 77 a tool is not installed.
import {existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync} from 'node:fs';
import {createRequire} from 'node:module';
import {tmpdir} from 'node:os';
import {basename, dirname, join, resolve} from 'node:path';
import {fileURLToPath, pathToFileURL} from 'node:url';

const kMostBytes = 1.5e6;
const kSlowest_ms = 1000;
const kOpenings = 5;
const kSmallest_px = 11;
const kFirstScreen_px = 950;  // of a screen of 1400 x 1080, less what the browser keeps
const kHalfPage = 0.55;      // of a sheet of A4: the upper half, and a line or two
const kAtOnce = 4;
const kWidths = [320, 640, 800, 1400];  // 640: a screen of 1280 at 200 %
const kTallestShot = 12000;  // px; the browser draws no picture of 16,384 or more
const kLooks = [
  {name: 'light', media: 'screen', scheme: 'light'},
  {name: 'dark', media: 'screen', scheme: 'dark'},
  {name: 'print', media: 'print', scheme: 'dark'},  // paper is white, whatever the device prefers
];
const kChromium = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];

function skip(why) {
  console.log(`skipped: ${why}`);
  process.exit(77);
}

function optionsFrom(words) {
  const options = {modules: join(dirname(fileURLToPath(import.meta.url)), 'node_modules'), shots: '', time: false, pages: []};
  for (let i = 0; i < words.length; ++i) {
    if (words[i] === '--modules') options.modules = words[++i];
    else if (words[i] === '--shots') options.shots = words[++i];
    else if (words[i] === '--time') options.time = true;
    else options.pages.push(resolve(words[i]));
  }
  if (options.pages.length === 0) {
    console.error('usage: node check_pages.mjs [--modules NODE_MODULES] [--shots FOLDER] [--time] PAGE.html...');
    process.exit(2);
  }
  return options;
}

const options = optionsFrom(process.argv.slice(2));
const load = createRequire(pathToFileURL(join(resolve(options.modules), 'from-here.js')));
let puppeteer, HtmlValidate, axeSource;
try {
  puppeteer = load('puppeteer-core');
  puppeteer = puppeteer.default ?? puppeteer;
  ({HtmlValidate} = load('html-validate'));
  axeSource = readFileSync(load.resolve('axe-core/axe.min.js'), 'utf8');
} catch (error) {
  skip(`npm packages of tests/pages/package.json: ${error.message.split('\n')[0]}`);
}
const chromium = process.env.TRACEHOLD_CHROMIUM ?? kChromium.find(existsSync);
if (!chromium) skip('no Chromium');

const validator = new HtmlValidate({
  root: true,
  extends: ['html-validate:recommended', 'html-validate:a11y'],
  // Matters of taste: how long a title is, how the markup is laid out.
  rules: {'long-title': 'off', 'no-trailing-whitespace': 'off'},
});

async function markup(path, fail) {
  const text = readFileSync(path, 'utf8');
  if (Buffer.byteLength(text) > kMostBytes) fail(`${Buffer.byteLength(text)} bytes, more than ${kMostBytes}`);
  if (/<script|\son\w+=|javascript:|\sstyle=/i.test(text.replace(/&lt;/g, ''))) fail('script or style where none belongs');
  const report = await validator.validateString(text, path);
  for (const result of report.results) {
    for (const message of result.messages.slice(0, 10)) {
      fail(`html-validate ${message.ruleId} at ${message.line}:${message.column}: ${message.message}`);
    }
  }
}

// As it comes from a mail or a share: no network, no script, its own policy in force.
async function openOnce(browser, path, fail) {
  const page = await browser.newPage();
  await page.setJavaScriptEnabled(false);
  await page.setOfflineMode(true);
  page.on('request', request => {
    if (request.url() !== pathToFileURL(path).href) fail(`asks for ${request.url()}`);
  });
  page.on('console', message => fail(`the browser says: ${message.text()}`));
  const before = performance.now();
  await page.goto(pathToFileURL(path).href, {waitUntil: 'load'});
  const took = performance.now() - before;
  await page.close();
  return took;
}

// Whatever else runs on the machine can only make an opening longer: the least of a few is the page's own time.
async function opening(browser, path, fail) {
  let took = await openOnce(browser, path, fail);
  for (let again = 1; took > kSlowest_ms && again < kOpenings; ++again) {
    await new Promise(resolve => setTimeout(resolve, 1000 * again));
    took = Math.min(took, await openOnce(browser, path, fail));
  }
  if (took > kSlowest_ms) fail(`opens in ${took.toFixed(0)} ms, the least of ${kOpenings} openings`);
  return took;
}

// Were markup ever to get past the escaper, the page's policy must still hold: nothing runs, nothing is asked for, nothing
// restyles the page. Scripts are allowed here, so that only the policy stands in their way.
const kInjected = `<script>document.documentElement.dataset.ran = 'script'</script>
<img src="https://injected.invalid/x.png" alt="" onerror="document.documentElement.dataset.ran = 'handler'">
<svg onload="document.documentElement.dataset.ran = 'svg'"><script>document.documentElement.dataset.ran = 'svg script'</script></svg>
<iframe srcdoc="<script>parent.document.documentElement.dataset.ran = 'frame'</script>"></iframe>
<iframe src="https://injected.invalid/frame"></iframe><object data="https://injected.invalid/o"></object><embed src="https://injected.invalid/e">
<style>html { outline: 7px solid red }</style><link rel="stylesheet" href="https://injected.invalid/s.css">
<p id="injected-style" style="outline: 7px solid red">x</p><base href="https://injected.invalid/">
<a id="injected-link" href="javascript:document.documentElement.dataset.ran = 'link'">x</a>
<form action="https://injected.invalid/form"><button id="injected-button">x</button></form>`;

const kHarm = ['a script ran', 'a style sheet holds', 'a style attribute holds', 'the base is'];
const harm = () => [
  document.documentElement.dataset.ran ?? '',
  getComputedStyle(document.documentElement).outlineWidth === '7px' ? 'yes' : '',
  getComputedStyle(document.getElementById('injected-style')).outlineWidth === '7px' ? 'yes' : '',
  document.baseURI.startsWith('https:') ? document.baseURI : '',
];

async function policy(browser, path, fail) {
  const folder = mkdtempSync(join(tmpdir(), 'tracehold-policy-'));
  const copy = join(folder, basename(path));
  writeFileSync(copy, readFileSync(path, 'utf8').replace('</main>', `${kInjected}</main>`));
  const page = await browser.newPage();
  const own = pathToFileURL(copy).href;
  const session = await page.createCDPSession();
  await session.send('Network.enable');
  const asked = new Map();
  let blocked = 0;
  session.on('Network.requestWillBeSent', ({requestId, request}) => {
    if (request.url.startsWith('http')) asked.set(requestId, request.url);
  });
  session.on('Network.loadingFailed', ({requestId, blockedReason}) => {
    if (blockedReason === 'csp' && asked.delete(requestId)) ++blocked;
  });
  await page.goto(own, {waitUntil: 'load'});
  const found = await page.evaluate(harm);
  found.forEach((what, i) => what && fail(`injected markup gets past the policy: ${kHarm[i]} ${what}`));
  for (const id of ['injected-link', 'injected-button']) {
    await page.evaluate(at => document.getElementById(at)?.click(), id);
    await new Promise(done => setTimeout(done, 100));
    if (page.url() !== own) fail(`injected markup leads to ${page.url().slice(0, 80)}`);
    if (page.url() !== own) break;
    if (await page.evaluate(() => document.documentElement.dataset.ran)) fail(`injected markup runs by a click on ${id}`);
  }
  for (const url of asked.values()) fail(`injected markup asks for ${url}`);
  if (blocked === 0) fail('the injected markup was not even tried');
  await page.close();
  rmSync(folder, {recursive: true});
}

const facts = () => {
  const ids = [...document.querySelectorAll('[id]')].map(element => element.id);
  const broken = [...document.querySelectorAll('a[href]')]
    .map(link => link.getAttribute('href'))
    .filter(href => !href.startsWith('#') || !document.getElementById(href.slice(1)));
  const unnamed = [...document.querySelectorAll('svg[role=img]')].filter(
    svg => !svg.getAttribute('aria-labelledby').split(' ').every(id => document.getElementById(id)?.textContent));
  const untold = [...document.querySelectorAll('figure')].filter(figure => figure.querySelector('svg[role=img]') && !figure.querySelector('table'));
  return {repeated: ids.filter((id, i) => ids.indexOf(id) !== i), broken, unnamed: unnamed.length, untold: untold.length};
};

// Both in one call: one after the other, the second undoes the first.
async function emulate(page, {media, scheme}) {
  const session = await page.createCDPSession();
  await session.send('Emulation.setEmulatedMedia', {media, features: [{name: 'prefers-color-scheme', value: scheme}]});
}

// The smallest type that a reader meets, px; marks that stand for a word are drawn, not written.
const smallest = () => {
  let least = {size: Infinity, text: ''};
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    const text = texts.currentNode.textContent.trim(), element = texts.currentNode.parentElement;
    const size = parseFloat(getComputedStyle(element).fontSize);
    if (text && element.checkVisibility() && size < least.size) least = {size, text};
  }
  return least;
};

async function layout(page, fail) {
  for (const width of kWidths) {
    await page.setViewport({width, height: 900});
    const {size, text} = await page.evaluate(smallest);
    if (size < kSmallest_px) fail(`type of ${size} px on a screen of ${width}: ${text.slice(0, 40)}`);
    const wider = await page.evaluate(() => document.scrollingElement.scrollWidth - document.scrollingElement.clientWidth);
    if (wider > 0) fail(`${wider} px wider than a screen of ${width}`);
  }
}

// Where the clinician's answers end on a desk, and how much of a sheet the referrer's page takes.
async function room(page, path, fail) {
  const name = basename(path);
  await page.setViewport({width: 1400, height: 900});
  const end = await page.evaluate(() => Math.max(0, ...[...document.querySelectorAll('.answer')].map(each => each.getBoundingClientRect().bottom)));
  if (/^(session|course|cycles)/.test(name) && !/large/.test(name) && !(end > 0 && end <= kFirstScreen_px)) fail(`the answers end at ${end.toFixed(0)} px`);
  await emulate(page, {media: 'print', scheme: 'light'});
  const letter = await page.evaluate(() => /@page\{size:letter/.test(document.querySelector('style').textContent));
  await page.setViewport({width: letter ? 703 : 680, height: 900});  // less 15 mm at each side
  const wider = await page.evaluate(() => document.scrollingElement.scrollWidth - document.scrollingElement.clientWidth);
  if (wider > 0) fail(`${wider} px wider than its paper`);
  await emulate(page, {media: '', scheme: 'light'});
  if (/^(referrer)/.test(name) && !/hostile-en/.test(name)) {
    await page.setViewport({width: 794, height: 900});  // A4, less its margins of 15 mm
    await page.addStyleTag({content: 'body{width:680px}'});
    await emulate(page, {media: 'print', scheme: 'light'});
    const share = (16 + await page.evaluate(() => document.body.scrollHeight) * 25.4 / 96) / 297;
    if (share > kHalfPage) fail(`takes ${share.toFixed(2)} of a sheet`);
    await emulate(page, {media: '', scheme: 'light'});
  }
}

async function looks(page, fail) {
  for (const look of kLooks) {
    await emulate(page, look);
    const paper = await page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor);
    if ((look.name === 'dark') === (paper === 'rgb(255, 255, 255)')) fail(`${look.name}: the paper is ${paper}`);
    const found = await page.evaluate(() => axe.run(document, {resultTypes: ['violations']}));
    for (const violation of found.violations) {
      fail(`axe, ${look.name}: ${violation.id} at ${violation.nodes.slice(0, 3).map(node => node.target).join(' ; ')}`);
    }
  }
}

async function shots(page, path) {
  mkdirSync(options.shots, {recursive: true});
  const name = join(options.shots, basename(path, '.html'));
  for (const scheme of ['light', 'dark']) {
    await emulate(page, {media: 'screen', scheme});
    for (const width of [320, 800, 1400]) {
      await page.setViewport({width, height: 900});
      const whole = await page.evaluate(() => document.scrollingElement.scrollHeight);
      const clip = {x: 0, y: 0, width, height: Math.min(whole, kTallestShot)};
      await page.screenshot({path: `${name}-${width}-${scheme}.png`, clip, captureBeyondViewport: true});
    }
  }
  await emulate(page, {media: '', scheme: 'dark'});
  await page.pdf({path: `${name}.pdf`, preferCSSPageSize: true, printBackground: false, tagged: true});
}

async function reading(browser, path, fail) {
  const page = await browser.newPage();
  await page.setBypassCSP(true);  // for the checker's own script
  await page.goto(pathToFileURL(path).href, {waitUntil: 'load'});
  const {repeated, broken, unnamed, untold} = await page.evaluate(facts);
  if (repeated.length > 0) fail(`ids twice: ${repeated.slice(0, 5)}`);
  if (broken.length > 0) fail(`links that lead nowhere: ${broken.slice(0, 5)}`);
  if (untold > 0) fail(`${untold} figures without a table of what they draw`);
  if (unnamed > 0) fail(`${unnamed} charts without a title or a description`);
  await layout(page, fail);
  await room(page, path, fail);
  await page.evaluate(axeSource);
  await looks(page, fail);
  if (options.shots) await shots(page, path);
  await page.close();
}

const browser = await puppeteer.launch({
  executablePath: chromium,
  args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage'],
});
const warm = await browser.newPage();  // so that the first page is not charged for the browser's own start
await warm.goto('about:blank');
let failures = 0;
async function check(path) {
  const fail = what => {
    ++failures;
    console.log(`${basename(path)}: ${what}`);
  };
  if (options.time) {
    const took = await opening(browser, path, fail);
    console.log(`${basename(path)}: ${(readFileSync(path).length / 1024).toFixed(0)} KiB, opens in ${took.toFixed(0)} ms`);
    return;
  }
  await markup(path, fail);
  await openOnce(browser, path, fail);
  await policy(browser, path, fail);
  await reading(browser, path, fail);
}

// A few at once, since much of it is waiting; one alone where its time is taken.
const left = [...options.pages];
await Promise.all(Array.from({length: options.time ? 1 : kAtOnce}, async () => {
  while (left.length > 0) await check(left.shift());
}));
await browser.close();
console.log(failures === 0 ? `${options.pages.length} pages, nothing found` : `${failures} things found`);
process.exit(failures === 0 ? 0 : 1);
