// Run the hosted sheet's script outside it: its two services are stood in for, the rest is real.
//
// node run_script.js SCRIPT ORDER.json, where the order holds the address, the key or null, and
// calls: [[function, [arguments]], ...]. Prints what each gave or threw, and the requests made.
const {execFileSync} = require('node:child_process');
const {readFileSync} = require('node:fs');
const vm = require('node:vm');

const order = JSON.parse(readFileSync(process.argv[3], 'utf8'));
const requests = [];

// The sheet's own fetch waits for the answer; a process of its own does so here.
const ASK = `
  const [url, options] = JSON.parse(require('node:fs').readFileSync(0, 'utf8'));
  fetch(url, options).then(async (answer) => {
    process.stdout.write(JSON.stringify({status: answer.status, text: await answer.text()}));
  });
`;

const UrlFetchApp = {
  fetch(url, options) {
    requests.push({url, headers: options.headers, muted: options.muteHttpExceptions});
    const sent = {
      method: options.method.toUpperCase(),
      headers: {...options.headers, 'Content-Type': options.contentType},
      body: options.payload,
    };
    const input = JSON.stringify([url, sent]);
    const answer = JSON.parse(execFileSync(process.execPath, ['-e', ASK], {input, maxBuffer: 1e8}));
    return {getResponseCode: () => answer.status, getContentText: () => answer.text};
  },
};
const PropertiesService = {
  getScriptProperties: () => ({getProperty: () => order.key}),
};

const script = readFileSync(process.argv[2], 'utf8')
  .replace('https://threadwright.example', order.address);
const sheet = vm.createContext({UrlFetchApp, PropertiesService});
vm.runInContext(script, sheet);
const answers = order.calls.map(([name, given]) => {
  try {
    return {value: sheet[name](...given)};
  } catch (error) {
    return {thrown: error.message};
  }
});
process.stdout.write(JSON.stringify({answers, requests}));
