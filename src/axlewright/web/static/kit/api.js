// The page of the API: its description drawn by the vendored viewer, without anything from outside.
window.SwaggerUIBundle({
  url: "/api/openapi.json",
  dom_id: "#api",
  validatorUrl: null,
  deepLinking: true,
  docExpansion: "list",
  defaultModelsExpandDepth: -1,
  syntaxHighlight: false,
});
