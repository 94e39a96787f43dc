package templates

import "html/template"

func functions(text Text) template.FuncMap {
	return template.FuncMap{"t": text}
}
