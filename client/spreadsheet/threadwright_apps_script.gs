/**
 * Threadwright in the hosted sheet. Extensions, Apps Script: paste this, and enter the service's
 * address below. The request comes from the sheet's servers: a service on the shop's own network
 * cannot be reached from there, so it must have a public address, best with a key.
 *
 * In a cell:  =THREADWRIGHT_LIMIT("M24x1.5-6g", "pitch_diameter.max", "mm")
 *             =THREADWRIGHT_READING(B7:B40, "aim", "mm")         a whole column in one request
 *             =THREADWRIGHT("job-sheet", A2:B20, "time.lot.cost")  keys left, values right
 */
const ADDRESS = 'https://threadwright.example';
const KEY_PROPERTY = 'THREADWRIGHT_KEY'; // Project Settings, Script Properties
const MOST_ITEMS = 1000;

/**
 * Any value of any operation.
 * @param {string} operation Name, such as "cycle-time".
 * @param {Array<Array>} keys Two columns: keys left, values right.
 * @param {string} field Dotted path into the result, such as "lot.cost".
 * @return The value, or a line that begins with #ERR.
 * @customfunction
 */
function THREADWRIGHT(operation, keys, field) {
  const params = {};
  keys.forEach(([key, value]) => {
    if (key !== '' && value !== '') params[key] = value; // numbers stay numbers in JSON
  });
  return valueAt_(batch_([{operation, params}])[0], field);
}

/**
 * A limit of size, such as "pitch_diameter.max", of one call-out or of a column of them.
 * @customfunction
 */
function THREADWRIGHT_LIMIT(callout, field, unit) {
  return column_(callout, 'thread-limits', 'limits.' + field, unit);
}

/**
 * The reading over the best wires or between the best balls: "max", "min" or "aim".
 * @customfunction
 */
function THREADWRIGHT_READING(callout, which, unit) {
  return column_(callout, 'wire-measurement', 'reading.' + which, unit);
}

function column_(callout, operation, field, unit) {
  const rows = Array.isArray(callout) ? callout.map((row) => row[0]) : [callout];
  const filled = rows.filter((text) => text !== '');
  const answers = batch_(filled.map((designation) => (
    {operation, params: unit ? {designation, unit} : {designation}}
  )));
  let next = 0;
  const values = rows.map((text) => [text === '' ? '' : valueAt_(answers[next++], field)]);
  return Array.isArray(callout) ? values : values[0][0];
}

/** Answers in the order of the items; the service takes so many at once. */
function batch_(items) {
  const answers = [];
  for (let first = 0; first < items.length; first += MOST_ITEMS) {
    answers.push(...post_('/v1/batch', {items: items.slice(first, first + MOST_ITEMS)}).items);
  }
  return answers;
}

function post_(path, body) {
  const key = PropertiesService.getScriptProperties().getProperty(KEY_PROPERTY);
  const answer = UrlFetchApp.fetch(ADDRESS + path, {
    method: 'post',
    contentType: 'application/json',
    headers: key ? {Authorization: 'Bearer ' + key} : {},
    payload: JSON.stringify(body),
    muteHttpExceptions: true, // the body of a refusal says what is wrong
  });
  const status = answer.getResponseCode();
  let read;
  try {
    read = JSON.parse(answer.getContentText());
  } catch (error) { // a page of something between, or of another service
    throw new Error('#ERR ' + status + ' something else than the service answered at ' + ADDRESS);
  }
  if (status !== 200) throw new Error('#ERR ' + status + ' ' + message_(read));
  return read;
}

function valueAt_(item, field) {
  if (item.status !== 200) return '#ERR ' + item.status + ' ' + message_(item.error);
  const value = field.split('.').reduce((inner, step) => (inner == null ? inner : inner[step]), item.result);
  if (value === undefined) return '#ERR ' + field + ' is not in this answer';
  return value === null ? '' : value;
}

function message_(problem) {
  const faults = (problem.errors || []).map((fault) => fault.detail).join('; ');
  return faults || problem.detail || problem.title;
}
