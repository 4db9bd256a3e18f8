"use strict";
window.addEventListener("load", function () {
  window.SwaggerUIBundle({
    url: "/openapi.json",
    dom_id: "#contract",
    deepLinking: true,
    validatorUrl: null,
    docExpansion: "none",
    defaultModelsExpandDepth: -1,
  });
});
