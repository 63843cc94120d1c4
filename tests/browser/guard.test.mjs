// Who is let in, told by requests as they go over the wire. A page of a stranger
// can make a browser ask, and a name can be pointed at this computer.

import assert from "node:assert/strict";
import http from "node:http";
import { after, before, test } from "node:test";
import { start } from "./serve.mjs";

let served;
let url;
let cookie;

before(async () => {
  served = await start();
  url = new URL(served.link);
});
after(() => served.stop());

const ask = (path, { method = "GET", headers = {}, body } = {}) =>
  new Promise((resolve, reject) => {
    const request = http.request({ host: url.hostname, port: url.port, path, method, headers, agent: false }, (answer) => {
      let text = "";
      answer.on("data", (data) => (text += data));
      answer.on("end", () => resolve({ status: answer.statusCode, headers: answer.headers, text }));
    });
    // One that is refused by its length is not read to its end.
    request.on("error", (error) => (error.code === "EPIPE" || error.code === "ECONNRESET" ? resolve({ status: 413 }) : reject(error)));
    request.end(body);
  });
const post = (path, what, headers = {}) =>
  ask(path, {
    method: "POST",
    body: JSON.stringify(what),
    headers: { "content-type": "application/json", cookie, origin: url.origin, ...headers },
  });
const INSIDE = ["/", "/file", "/picture/0", "/pdf/card", "/rule/x", "/help?path=x", "/preview.js", "/font/bold", "/nowhere"];
// Where the page is, and where whoever guesses would look for it.
const everything = () => [...INSIDE.map(within), ...INSIDE];
const within = (path) => url.pathname + path.slice(1);

test("nobody gets in without the cookie", async () => {
  for (const path of everything()) assert.equal((await ask(path)).status, 403, path);
  for (const path of ["/look", "/save", "/copy"].map(within)) {
    assert.equal((await post(path, {}, { cookie: "" })).status, 403, path);
  }
  const told = await ask("/");
  assert.match(told.text, /works once/);
  assert.doesNotMatch(told.text, new RegExp(url.pathname.slice(1, -1)), "it does not tell where the page is");
});

test("a wrong token is refused and spends nothing", async () => {
  const right = url.searchParams.get("token");
  const wrong = ["", "x", "0".repeat(right.length), `${right}0`].map((token) => within(`/?token=${token}`));
  // The right one at another path.
  for (const link of [...wrong, `/?token=${right}`, `/${"0".repeat(32)}/?token=${right}`]) {
    const answer = await ask(link);
    assert.equal(answer.status, 403, link);
    assert.equal(answer.headers["set-cookie"], undefined);
  }
});

test("a token that a stranger's page or name brings is refused and not spent", async () => {
  const link = url.pathname + url.search;
  for (const headers of [
    { host: "evil.example" },
    { host: `evil.example:${url.port}` },
    { host: `localhost:${url.port}` },
    { host: "127.0.0.1" },
    { "sec-fetch-site": "cross-site" },
    { "sec-fetch-site": "same-site" },
    { origin: "http://evil.example" },
    { origin: "null" },
    // Twice, and the right one first.
    { "sec-fetch-site": ["same-origin", "cross-site"] },
    { origin: [url.origin, "http://evil.example"] },
  ]) {
    const answer = await ask(link, { headers });
    assert.ok([403, 421].includes(answer.status), JSON.stringify(headers));
    assert.equal(answer.headers["set-cookie"], undefined);
  }
});

test("a look at the link's head spends nothing", async () => {
  const answer = await ask(url.pathname + url.search, { method: "HEAD" });
  assert.equal(answer.status, 403);
});

test("the link lets one browser in, once", async () => {
  const answer = await ask(url.pathname + url.search);
  assert.equal(answer.status, 303);
  assert.equal(answer.headers.location, url.pathname);
  const [set] = answer.headers["set-cookie"];
  assert.ok(set.endsWith(`; Path=${url.pathname}; HttpOnly; SameSite=Strict`), set);
  cookie = set.split(";")[0];
  const again = await ask(url.pathname + url.search);
  assert.equal(again.status, 403);
  assert.match(again.text, /used before/);
  // The same browser may open the link again.
  const known = await ask(url.pathname + url.search, { headers: { cookie } });
  assert.equal(known.status, 303);
  assert.equal((await ask(within("/"), { headers: { cookie } })).status, 200);
});

test("with the cookie, nothing is at the top", async () => {
  for (const path of INSIDE) assert.equal((await ask(path, { headers: { cookie } })).status, 404, path);
  assert.equal((await post("/save", { text: "x", seen: null })).status, 404);
});

test("with the cookie, another name or another page is refused all the same", async () => {
  for (const path of everything()) {
    assert.equal((await ask(path, { headers: { cookie, host: "evil.example" } })).status, 421, path);
    assert.equal((await ask(path, { headers: { cookie, origin: "http://evil.example" } })).status, 403, path);
    assert.equal((await ask(path, { headers: { cookie, "sec-fetch-site": "same-site" } })).status, 403, path);
  }
  const before = await served.text();
  const { digest } = JSON.parse((await ask(within("/file"), { headers: { cookie } })).text);
  for (const origin of ["http://evil.example", "null", `http://localhost:${url.port}`, `http://127.0.0.1:${Number(url.port) + 1}`, `https://127.0.0.1:${url.port}`, ""]) {
    for (const [path, what] of [["/save", { text: "x", seen: digest }], ["/copy", { text: "x" }], ["/look", { tab: "x", text: "x" }]]) {
      assert.equal((await post(within(path), what, { origin })).status, 403, `${path} ${origin}`);
    }
  }
  const without = { method: "POST", body: "{}", headers: { cookie, "content-type": "application/json" } };
  assert.equal((await ask(within("/save"), without)).status, 403);
  // What a form of a page can send.
  assert.equal((await post(within("/save"), { text: "x", seen: digest }, { "content-type": "text/plain" })).status, 415);
  assert.equal(await served.text(), before);
});

test("every answer forbids what the page does not need", async () => {
  for (const path of everything()) {
    for (const headers of [{ cookie }, {}]) {
      const answer = await ask(path, { headers });
      const policy = answer.headers["content-security-policy"];
      assert.match(policy, /default-src 'none'/, path);
      assert.doesNotMatch(policy, /unsafe|\*|http|data:|blob:/, path);
      assert.equal(answer.headers["x-content-type-options"], "nosniff");
      assert.equal(answer.headers["cache-control"], "no-store");
      assert.equal(answer.headers["referrer-policy"], "no-referrer");
      assert.equal(answer.headers["access-control-allow-origin"], undefined);
    }
  }
});

test("what is too large or makes no sense is refused, and the program goes on", async () => {
  assert.equal((await post(within("/look"), { tab: "x", text: "x".repeat(9 << 20) })).status, 413);
  assert.equal((await post(within("/save"), { text: "x".repeat(2 << 20), seen: null })).status, 422);
  const looked = await post(within("/look"), { tab: "x", text: "x".repeat(2 << 20) });
  assert.match(looked.text, /spec-too-large/);
  assert.equal((await post(within("/look"), { tab: "x", text: "", wishes: { language: "xx" } })).status, 400);
  assert.equal((await post(within("/look"), { nothing: 1 })).status, 422);
  for (const text of ["", "[".repeat(100_000), "a: &a [*a, *a]", "\u0000", "- {", "\uFEFFcoldring: 1"]) {
    const told = (await post(within("/look"), { tab: "x", text })).text.trim().split("\n").map((line) => JSON.parse(line));
    assert.equal(told[0].what, "findings", text.slice(0, 20));
    assert.equal(told.at(-1).what, "done", text.slice(0, 20));
  }
  assert.equal((await ask(within("/pdf/..%2f..%2fetc"), { headers: { cookie } })).status, 404);
  for (const path of ["x", "[]", "[[]]", "{}", '"a"', JSON.stringify(Array(1000).fill("sizes")), '["__proto__"]', ""]) {
    const { status } = await ask(within(`/help?path=${encodeURIComponent(path)}`), { headers: { cookie } });
    assert.ok([200, 400].includes(status), `${path.slice(0, 20)}: ${status}`);
  }
  assert.equal((await ask(within("/"), { headers: { cookie } })).status, 200);
});

test("of one tab only the newest text is followed to its end", async () => {
  const text = await served.text();
  const all = await Promise.all(
    Array.from({ length: 12 }, (_, n) => post(within("/look"), { tab: "one", text: text.replace("First issue", `Issue ${n}`) })),
  );
  const ends = all.map((answer) => answer.text.includes('"what":"done"'));
  assert.equal(ends.filter(Boolean).length < 12, true, "some were given up");
  assert.ok(ends.some(Boolean));
});
