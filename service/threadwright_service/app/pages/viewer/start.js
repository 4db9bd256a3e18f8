"use strict";
// With ?operation=pass-plan only that operation is shown, opened; the guide links to it so.
window.addEventListener("load", function () {
  const name = new URLSearchParams(window.location.search).get("operation");
  fetch("/openapi.json")
    .then(function (answer) { return answer.json(); })
    .then(function (spec) {
      const path = "/v1/" + name;
      const known = name !== null && Object.hasOwn(spec.paths, path);
      if (known) {
        spec.paths = { [path]: spec.paths[path] };
      }
      window.SwaggerUIBundle({
        spec: spec,
        dom_id: "#contract",
        validatorUrl: null,
        docExpansion: known ? "full" : "list",
        defaultModelsExpandDepth: -1,
      });
    });
});
