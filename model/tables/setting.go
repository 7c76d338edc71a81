package tables

import "bellout/model"

// SettingColumns are the columns of settings.csv.
var SettingColumns = []Column[model.Setting]{
	nameColumn("key", func(s *model.Setting) *string { return &s.Key }),
	{
		Name: "value", InHeader: true,
		Parse: func(s *model.Setting, cell Cell) error {
			s.Value = cell.Text
			if s.Key == model.KeyAmpacity {
				return nil
			}
			s.Value = cell.pointed()
			if _, err := model.ParseNumber(s.Value); err != nil && cell.Text != "" {
				return cell.numberError()
			}
			return nil
		},
		Print: func(s model.Setting) string { return s.Value },
	},
}
