"use strict";
// Sent straight to the service, without the fields that are empty: there an empty value is an error.
// Where no script runs, the form goes to its own address, which leaves them out instead.
const form = document.getElementById("job-form");
form.setAttribute("method", "get");
form.setAttribute("action", form.dataset.answer);
form.addEventListener("formdata", function (event) {
  for (const [key, value] of [...event.formData]) {
    const written = value.trim();
    if (written === "") {
      event.formData.delete(key);
    } else {
      event.formData.set(key, written);
    }
  }
});
